"""Has LibreOffice open a workbook, recalculate every formula and save it again in a format."""
import pathlib
import subprocess
import tempfile

# "Never ask, always recalculate": without it LibreOffice shows the cached values and the check would check nothing.
SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""


def converted(book, folder, ending):
    """The path of the book saved by LibreOffice in a folder."""
    folder = pathlib.Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as profile:
        user = pathlib.Path(profile, "user")
        user.mkdir()
        (user / "registrymodifications.xcu").write_text(SETTINGS, encoding="utf-8")
        subprocess.run(
            ["soffice", f"-env:UserInstallation={pathlib.Path(profile).as_uri()}", "--headless", "--convert-to", ending,
             "--outdir", str(folder), str(book)],
            check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, timeout=300)
    return folder / f"{pathlib.Path(book).stem}.{ending}"
