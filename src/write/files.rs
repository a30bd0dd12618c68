//! Puts finished bytes on disk: all outputs or none, never a torn file, never over an existing one unasked.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

/// How many files wait for the disk at once. A disk makes many waiting files lasting with one effort.
const WAITING: usize = 16;

/// A finished output.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Output {
    /// Where it goes.
    pub path: PathBuf,
    /// What goes there.
    pub bytes: Vec<u8>,
}

impl Output {
    /// An output.
    pub fn new(path: PathBuf, bytes: Vec<u8>) -> Self {
        Self { path, bytes }
    }
}

/// Writes outputs: first everything to temporary files in the same folder, then each renamed into place. An output that
/// is there already with the same bytes is left alone; one with other bytes is replaced only with `force`.
///
/// # Errors
/// A message that names the file and what to do: it exists, it is open in another program, the folder can't be written,
/// the disk is full. Nothing is changed then, except that a rename which fails after others succeeded leaves those.
pub fn save(outputs: &[Output], force: bool) -> Result<(), String> {
    let mut due = Vec::new();
    for output in outputs {
        if is_same(output) {
            continue;
        }
        refuse_existing(&output.path, force)?;
        due.push(output);
    }
    let written: Vec<(PathBuf, &Path)> =
        due.iter().map(|output| (temporary_name(&output.path), output.path.as_path())).collect();
    let write = |place: usize| {
        let (temporary, path) = &written[place];
        write_whole(temporary, &due[place].bytes).map_err(|error| cannot_write(path, &error))
    };
    let result = side_by_side(due.len(), &write).and_then(|()| {
        written
            .iter()
            .try_for_each(|(temporary, path)| fs::rename(temporary, path).map_err(|error| cannot_write(path, &error)))
    });
    if result.is_err() {
        for (temporary, _) in &written {
            // Those already renamed are gone from here; for the others nothing more can be done than try.
            let _ = fs::remove_file(temporary);
        }
    }
    result
}

/// Does a piece of work for each number below `count`. Most of the time goes in waiting until the disk has the bytes, so
/// more of them wait side by side than there are cores.
fn side_by_side(count: usize, work: &(impl Fn(usize) -> Result<(), String> + Sync)) -> Result<(), String> {
    let next = AtomicUsize::new(0);
    let run = || {
        while let Some(place) = Some(next.fetch_add(1, Ordering::Relaxed)).filter(|place| *place < count) {
            work(place)?;
        }
        Ok(())
    };
    std::thread::scope(|scope| {
        let others: Vec<_> = (1..count.min(WAITING)).map(|_| scope.spawn(run)).collect();
        let mut result = run();
        for other in others {
            let ended = other.join().unwrap_or_else(|_| Err("writing ended before its time".to_owned()));
            result = result.and(ended);
        }
        result
    })
}

/// Whether exactly these bytes are there already.
fn is_same(output: &Output) -> bool {
    let same_size = fs::metadata(&output.path).is_ok_and(|found| found.len() == output.bytes.len() as u64);
    same_size && fs::read(&output.path).is_ok_and(|bytes| bytes == output.bytes)
}

/// Refuses a path that must not be replaced: a folder, an existing file without `force`, a file open elsewhere.
fn refuse_existing(path: &Path, force: bool) -> Result<(), String> {
    let Ok(found) = fs::metadata(path) else { return Ok(()) };
    if found.is_dir() {
        return Err(format!("{} is a folder\n  help: name another place with --out", path.display()));
    }
    if !force {
        return Err(format!(
            "{} exists and would change\n  help: keep it by naming another folder with --out, or replace it with --force",
            path.display()
        ));
    }
    let locked_by_mark = lock_marks(path).iter().any(|mark| mark.exists());
    let locked = OpenOptions::new().write(true).open(path).is_err();
    if locked_by_mark || locked {
        return Err(format!(
            "{} is open in another program or may not be written\n  help: close it there and run again, or name another folder with --out",
            path.display()
        ));
    }
    Ok(())
}

/// The marks that spreadsheet programs leave beside a file while they hold it open.
fn lock_marks(path: &Path) -> [PathBuf; 2] {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    [path.with_file_name(format!(".~lock.{name}#")), path.with_file_name(format!("~${name}"))]
}

/// A name of this process's own in the same folder, so that the rename stays on one disk and two runs don't meet.
fn temporary_name(path: &Path) -> PathBuf {
    let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    path.with_file_name(format!(".{name}.{}.pintle-tmp", std::process::id()))
}

/// Writes all bytes and has them on the disk before it returns.
fn write_whole(path: &Path, bytes: &[u8]) -> io::Result<()> {
    let mut file = File::create(path)?;
    file.write_all(bytes)?;
    file.sync_all()
}

/// The message for a write that failed.
fn cannot_write(path: &Path, error: &io::Error) -> String {
    let help = match error.kind() {
        io::ErrorKind::PermissionDenied => "choose a folder you may write to with --out",
        io::ErrorKind::StorageFull => "free some space and run again; nothing was changed",
        io::ErrorKind::NotFound => "check that the folder exists, or name another with --out",
        _ => "nothing was changed; name another folder with --out",
    };
    format!("cannot write {}: {error}\n  help: {help}", path.display())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(name: &str) -> PathBuf {
        let folder = std::env::temp_dir().join(format!("pintle-files-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        folder
    }

    #[test]
    fn an_existing_output_is_replaced_only_with_force() {
        let folder = folder("force");
        let path = folder.join("a.xlsx");
        save(&[Output::new(path.clone(), b"one".to_vec())], false).unwrap();
        save(&[Output::new(path.clone(), b"one".to_vec())], false).unwrap();
        let refused = save(&[Output::new(path.clone(), b"two".to_vec())], false).unwrap_err();
        assert!(refused.contains("--force"), "{refused}");
        assert_eq!(fs::read(&path).unwrap(), b"one");
        save(&[Output::new(path.clone(), b"two".to_vec())], true).unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
    }

    #[test]
    fn all_outputs_or_none() {
        let folder = folder("none");
        let good = folder.join("a.xlsx");
        let bad = folder.join("missing").join("b.xlsx");
        assert!(save(&[Output::new(good.clone(), b"a".to_vec()), Output::new(bad, b"b".to_vec())], false).is_err());
        assert_eq!(fs::read_dir(&folder).unwrap().count(), 0, "neither output nor temporary file is left");
    }

    #[test]
    fn a_file_open_elsewhere_is_said_to_be() {
        let folder = folder("open");
        let path = folder.join("a.xlsx");
        fs::write(&path, b"old").unwrap();
        fs::write(folder.join(".~lock.a.xlsx#"), b"").unwrap();
        let refused = save(&[Output::new(path.clone(), b"new".to_vec())], true).unwrap_err();
        assert!(refused.contains("open in another program"), "{refused}");
        assert_eq!(fs::read(&path).unwrap(), b"old");
    }
}
