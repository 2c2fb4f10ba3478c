//! Watching folders for bundles that arrive.
//!
//! The folder is looked at now and then rather than asked to tell: that works the same on every system and on
//! network shares. A file counts as arrived when two looks in a row find it with the same size and time, so that
//! nothing is taken in half-written; and it counts once, until it changes.

use super::intake;
use crate::disk::DiskError;
use std::collections::HashMap;
use std::fs;
use std::path::PathBuf;
use std::time::SystemTime;

/// Size and time of a file, by which a change is told.
type Stamp = (u64, Option<SystemTime>);

/// What was seen of some folders.
#[derive(Debug, Default)]
pub struct Watch {
    /// Every bundle with its stamp at the last look, and whether it was handed out.
    seen: HashMap<PathBuf, (Stamp, bool)>,
}

impl Watch {
    /// The bundles in these folders (and files) that have arrived since the last look, in the order of their names.
    ///
    /// # Errors
    /// A folder that is not there or cannot be read; what was seen before is kept.
    pub fn look(&mut self, paths: &[PathBuf]) -> Result<Vec<PathBuf>, DiskError> {
        let mut now = HashMap::new();
        let mut arrived = Vec::new();
        for file in intake::files(paths)? {
            // Gone between two breaths: it was somebody's temporary name.
            let Ok(metadata) = fs::metadata(&file) else {
                continue;
            };
            let stamp = (metadata.len(), metadata.modified().ok());
            let handed_out = match self.seen.get(&file) {
                Some((before, true)) if *before == stamp => true,
                Some((before, false)) if *before == stamp => {
                    arrived.push(file.clone());
                    true
                }
                _ => false,
            };
            now.insert(file, (stamp, handed_out));
        }
        self.seen = now;
        Ok(arrived)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    #[test]
    fn a_file_arrives_once_when_it_no_longer_grows() {
        let folder = tempfile::tempdir().unwrap();
        let paths = [folder.path().to_owned()];
        let write = |name: &str, bytes: &[u8]| {
            let path = folder.path().join(name);
            fs::write(&path, bytes).unwrap();
            path
        };
        let mut watch = Watch::default();
        let looks = |watch: &mut Watch| watch.look(&paths).unwrap();
        assert_eq!(looks(&mut watch), Vec::<PathBuf>::new());
        let a = write("a.zip", b"half");
        write("notes.txt", b"never");
        assert_eq!(looks(&mut watch), Vec::<PathBuf>::new());
        write("a.zip", b"half and half");
        assert_eq!(looks(&mut watch), Vec::<PathBuf>::new());
        let b = write("b.zip", b"another");
        assert_eq!(looks(&mut watch), std::slice::from_ref(&a));
        assert_eq!(looks(&mut watch), [b]);
        assert_eq!(looks(&mut watch), Vec::<PathBuf>::new());
        // Put there anew, it arrives anew.
        write("a.zip", b"a later one");
        assert_eq!(looks(&mut watch), Vec::<PathBuf>::new());
        assert_eq!(looks(&mut watch), [a]);
        let gone = [Path::new("/nowhere/at/all").to_owned()];
        assert!(watch.look(&gone).is_err());
    }
}
