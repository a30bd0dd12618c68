//! Drawings that an earlier run left and this one no longer makes. A drawing says in its last line that this program made
//! it, with the hash of the lines above; only one that is still as it was made is taken away.

use std::fs;
use std::path::Path;

use sha2::{Digest, Sha256};

use super::files::Output;

const MARK: &str = "<!-- drawn by pintle; SHA-256 of the lines above: ";
const END: &str = " -->\n";

/// A drawing with its last line.
pub fn signed(drawing: &str) -> String {
    format!("{drawing}{MARK}{}{END}", hash(drawing))
}

/// Whether a text is a drawing as this program made it.
fn is_ours(text: &str) -> bool {
    text.rsplit_once(MARK).is_some_and(|(drawing, end)| end.strip_suffix(END) == Some(hash(drawing).as_str()))
}

fn hash(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Removes from a folder the drawings that are ours and not among the outputs, and the folder when nothing is left in it.
/// Gives how many. What cannot be read or removed stays.
pub fn remove(folder: &Path, outputs: &[Output]) -> usize {
    let Ok(entries) = fs::read_dir(folder) else { return 0 };
    let mut removed = 0;
    for path in entries.filter_map(Result::ok).map(|entry| entry.path()) {
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        let is_named_so = name.starts_with("type-") && name.ends_with(".svg");
        let is_left = is_named_so && !outputs.iter().any(|output| output.path == path);
        if is_left && fs::read_to_string(&path).is_ok_and(|text| is_ours(&text)) && fs::remove_file(&path).is_ok() {
            removed += 1;
        }
    }
    if removed > 0 {
        // Fails where something is left in the folder, and is meant to.
        let _ = fs::remove_dir(folder);
    }
    removed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_drawings_still_as_they_were_made_are_removed() {
        let folder = std::env::temp_dir().join(format!("pintle-leftover-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).unwrap();
        let ours = signed("<svg>\n</svg>\n");
        for (name, text) in [
            ("type-1.svg", ours.clone()),
            ("type-2.svg", ours.clone()),
            ("type-3.svg", ours.replace("<svg>", "<svg width=\"2\">")),
            ("type-4.svg", "<svg>\n</svg>\n".to_owned()),
            ("mine.svg", ours.clone()),
        ] {
            fs::write(folder.join(name), text).unwrap();
        }
        let kept = [Output::new(folder.join("type-1.svg"), ours.into_bytes())];
        assert_eq!(remove(&folder, &kept), 1);
        let mut left: Vec<_> = fs::read_dir(&folder).unwrap().map(|entry| entry.unwrap().file_name()).collect();
        left.sort();
        assert_eq!(left, ["mine.svg", "type-1.svg", "type-3.svg", "type-4.svg"]);
        fs::remove_dir_all(&folder).unwrap();
    }
}
