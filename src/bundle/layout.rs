//! How a bundle's archive lies in its file, read strictly.
//!
//! Zip readers are forgiving: they look for the directory from the end, skip what they do not know, and believe
//! either of the two headers that each entry has. A file made to deceive looks different to two of them. Here
//! a bundle has one reading or none: entries in a row from the first byte on, no byte between them, the
//! directory right behind, the end right behind that, and both headers of each entry saying the same.
//!
//! References: PKWARE APPNOTE.TXT 6.3.10, sections 4.3 (structure), 4.4 (fields), 4.5 (extra fields).

use super::problem::Problem;
use super::{ENTRIES_MOST, ENTRY_MOST, FILE_MOST};
use crate::disk::About;
use flate2::bufread::DeflateDecoder;
use std::collections::HashMap;
use std::fs::File;
use std::io::{self, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

const END_BYTES: u64 = 22;
const CENTRAL_BYTES: usize = 46;
const LOCAL_BYTES: usize = 30;
const END_SIGNATURE: u32 = 0x0605_4b50;
const CENTRAL_SIGNATURE: u32 = 0x0201_4b50;
const LOCAL_SIGNATURE: u32 = 0x0403_4b50;

/// Longest name accepted, in bytes; our own have at most 150.
const NAME_MOST: usize = 255;
/// Most bytes that one entry's extra fields may have: times and owners have less.
const EXTRA_MOST: usize = 64;
/// Extra fields that say nothing about name, size or content: times (APPNOTE 4.5.5; Info-ZIP "UT", "UX", "ux").
const EXTRA_HARMLESS: [u16; 4] = [0x000a, 0x5455, 0x5855, 0x7875];
/// More than honest data are squeezed: findings about hundreds of things not measured yet reach 35.
const SWELL_MOST: u64 = 200;
/// What an entry may have however it is squeezed (4 MiB): somebody may have leant on a key.
const SWELL_FREE: u64 = 4 << 20;

/// What is wrong, and with which entry.
pub(super) type Refusal = (Option<String>, Problem);

/// One entry of the archive.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Entry {
    pub name: String,
    pub is_folder: bool,
    pub method: u16,
    flags: u16,
    pub crc: u32,
    pub packed: u64,
    pub bytes: u64,
    header_at: u64,
    data_at: u64,
}

/// A bundle's file and where its entries lie in it.
#[derive(Debug)]
pub(super) struct Layout {
    file: BufReader<File>,
    path: PathBuf,
    pub entries: Vec<Entry>,
}

/// Little-endian numbers from a header that is long enough.
struct Header<'a>(&'a [u8]);

impl Header<'_> {
    fn u16(&self, at: usize) -> u16 {
        u16::from_le_bytes([self.0[at], self.0[at + 1]])
    }
    fn u32(&self, at: usize) -> u32 {
        u32::from_le_bytes([self.0[at], self.0[at + 1], self.0[at + 2], self.0[at + 3]])
    }
}

fn of(name: &str, problem: Problem) -> Refusal {
    (Some(name.to_owned()), problem)
}

impl Layout {
    /// Reads where the entries lie; no entry's data are looked at.
    pub fn read(path: &Path) -> Result<Self, Refusal> {
        let disk = |error: io::Error| {
            (
                None,
                Problem::Disk(Err::<(), _>(error).about(path).unwrap_err()),
            )
        };
        let mut file = BufReader::with_capacity(1 << 16, File::open(path).map_err(disk)?);
        let metadata = file.get_ref().metadata().map_err(disk)?;
        if !metadata.is_file() {
            return Err((None, Problem::NotAZip));
        }
        let length = metadata.len();
        if length > FILE_MOST {
            let (bytes, limit) = (length, FILE_MOST);
            return Err((None, Problem::FileTooLarge { bytes, limit }));
        }
        let directory = read_directory(&mut file, length).map_err(|error| match error {
            Trouble::Disk(error) => disk(error),
            Trouble::Problem(problem) => (None, problem),
        })?;
        let mut entries = parse_directory(&directory)?;
        check_names(&entries)?;
        place(&mut file, &mut entries, directory.at, &disk)?;
        Ok(Layout {
            file,
            path: path.to_owned(),
            entries,
        })
    }

    /// Copies an entry's data into `sink`, which is only ever given as many bytes as the entry says that it has.
    ///
    /// `disk_of` says which file an error of the sink is about.
    pub fn copy(
        &mut self,
        entry: &Entry,
        sink: &mut dyn Write,
        sink_path: &Path,
        mut keep_on: impl FnMut(u64) -> bool,
    ) -> Result<(), Problem> {
        self.file
            .seek(SeekFrom::Start(entry.data_at))
            .about(&self.path)?;
        let path = self.path.clone();
        let packed = (&mut self.file).take(entry.packed);
        let mut crc = crc32fast::Hasher::new();
        let mut left = entry.bytes;
        let mut chunk = [0; 1 << 16];
        let mut pour = |data: &mut dyn Read| -> Result<(), Problem> {
            loop {
                let count = match data.read(&mut chunk) {
                    Ok(0) => break,
                    Ok(count) => count,
                    Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
                    Err(error) if is_of_the_data(&error) => {
                        return Err(Problem::DataDamaged("they do not unpack"));
                    }
                    Err(error) => return Err(error).about(&path)?,
                };
                let read = &chunk[..count];
                if count as u64 > left {
                    return Err(Problem::LongerThanSaid { bytes: entry.bytes });
                }
                left -= count as u64;
                crc.update(read);
                sink.write_all(read).about(sink_path)?;
                if !keep_on(count as u64) {
                    return Err(Problem::Stopped);
                }
            }
            match left {
                0 => Ok(()),
                _ => Err(Problem::DataDamaged("they end early")),
            }
        };
        if entry.method == 0 {
            let mut packed = packed;
            pour(&mut packed)?;
        } else {
            let mut inflated = DeflateDecoder::new(packed);
            pour(&mut inflated)?;
            if inflated.total_in() != entry.packed {
                return Err(Problem::DataDamaged("something stands behind their end"));
            }
        }
        match crc.finalize() == entry.crc {
            true => Ok(()),
            false => Err(Problem::Crc),
        }
    }

    /// An entry's data, of which there are no more than `most`.
    pub fn bytes(&mut self, entry: &Entry, most: u64) -> Result<Vec<u8>, Problem> {
        if entry.bytes > most {
            return Err(Problem::EntryTooLarge {
                bytes: entry.bytes,
                limit: most,
            });
        }
        let mut bytes = Vec::new();
        let path = self.path.clone();
        self.copy(entry, &mut bytes, &path, |_| true)?;
        Ok(bytes)
    }
}

/// Whether an error says that the data are bad rather than the disk.
fn is_of_the_data(error: &io::Error) -> bool {
    matches!(
        error.kind(),
        io::ErrorKind::InvalidInput | io::ErrorKind::InvalidData | io::ErrorKind::UnexpectedEof
    )
}

enum Trouble {
    Disk(io::Error),
    Problem(Problem),
}

impl From<io::Error> for Trouble {
    fn from(error: io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::UnexpectedEof => Trouble::Problem(Problem::NotAZip),
            _ => Trouble::Disk(error),
        }
    }
}

impl From<Problem> for Trouble {
    fn from(problem: Problem) -> Self {
        Trouble::Problem(problem)
    }
}

struct Directory {
    /// Where it begins.
    at: u64,
    count: usize,
    bytes: Vec<u8>,
}

fn read_directory(file: &mut BufReader<File>, length: u64) -> Result<Directory, Trouble> {
    if length < END_BYTES {
        return Err(Problem::NotAZip.into());
    }
    let mut end = [0; END_BYTES as usize];
    file.seek(SeekFrom::Start(length - END_BYTES))?;
    file.read_exact(&mut end)?;
    let end = Header(&end);
    if end.u32(0) != END_SIGNATURE || end.u16(20) != 0 {
        // An end that is not at the end: something was put behind it. A comment counts as that.
        let tail = length.min(END_BYTES + 0xffff);
        let mut bytes = vec![0; tail as usize];
        file.seek(SeekFrom::Start(length - tail))?;
        file.read_exact(&mut bytes)?;
        let signature = END_SIGNATURE.to_le_bytes();
        let found = bytes.windows(4).any(|window| window == signature);
        return Err(match found {
            true => Problem::TrailingJunk,
            false => Problem::NotAZip,
        }
        .into());
    }
    let (this_disk, start_disk) = (end.u16(4), end.u16(6));
    let (count_here, count) = (end.u16(8), end.u16(10));
    let (size, at) = (u64::from(end.u32(12)), u64::from(end.u32(16)));
    if count == 0xffff || size == 0xffff_ffff || at == 0xffff_ffff {
        return Err(Problem::OddArchive("it has 64-bit sizes").into());
    }
    if this_disk != 0 || start_disk != 0 || count_here != count {
        return Err(Problem::OddArchive("it is in several parts").into());
    }
    if u64::from(count) > ENTRIES_MOST {
        let (entries, limit) = (count.into(), ENTRIES_MOST);
        return Err(Problem::TooManyEntries { entries, limit }.into());
    }
    let before_end = length - END_BYTES;
    match (at + size).cmp(&before_end) {
        std::cmp::Ordering::Equal => {}
        std::cmp::Ordering::Greater => return Err(Problem::NotAZip.into()),
        std::cmp::Ordering::Less => {
            let bytes = before_end - at - size;
            return Err(Problem::LeadingJunk { bytes }.into());
        }
    }
    // What so many entries can have at most; the rest of the file's length bounds it further.
    let most = u64::from(count) * (CENTRAL_BYTES + NAME_MOST + EXTRA_MOST) as u64;
    if size > most {
        return Err(Problem::OddArchive("its directory is too long for its entries").into());
    }
    let mut bytes = vec![0; size as usize];
    file.seek(SeekFrom::Start(at))?;
    file.read_exact(&mut bytes)?;
    Ok(Directory {
        at,
        count: count.into(),
        bytes,
    })
}

fn parse_directory(directory: &Directory) -> Result<Vec<Entry>, Refusal> {
    let mut entries = Vec::with_capacity(directory.count);
    let mut rest = &directory.bytes[..];
    let whole = |problem| (None, problem);
    for _ in 0..directory.count {
        let Some((fixed, behind)) = rest.split_at_checked(CENTRAL_BYTES) else {
            return Err(whole(Problem::NotAZip));
        };
        let header = Header(fixed);
        if header.u32(0) != CENTRAL_SIGNATURE {
            return Err(whole(Problem::NotAZip));
        }
        let (name_bytes, extra_bytes, comment_bytes) = (
            usize::from(header.u16(28)),
            usize::from(header.u16(30)),
            usize::from(header.u16(32)),
        );
        let Some((name, behind)) = behind.split_at_checked(name_bytes) else {
            return Err(whole(Problem::NotAZip));
        };
        let Some((extra, behind)) = behind.split_at_checked(extra_bytes) else {
            return Err(whole(Problem::NotAZip));
        };
        rest = behind;
        let Ok(name) = std::str::from_utf8(name) else {
            let shown = String::from_utf8_lossy(name).into_owned();
            return Err((Some(shown), Problem::NameNotUtf8));
        };
        let refuse = |problem| of(name, problem);
        if comment_bytes != 0 {
            return Err(refuse(Problem::OddArchive("an entry has a comment")));
        }
        check_extra(extra).map_err(refuse)?;
        let (flags, method) = (header.u16(8), header.u16(10));
        check_flags(flags, method).map_err(refuse)?;
        let is_folder = check_kind(name, header.u32(38)).map_err(refuse)?;
        let (packed, bytes) = (u64::from(header.u32(20)), u64::from(header.u32(24)));
        let header_at = u64::from(header.u32(42));
        if packed == 0xffff_ffff || bytes == 0xffff_ffff || header_at == 0xffff_ffff {
            return Err(refuse(Problem::OddArchive("it has 64-bit sizes")));
        }
        if header.u16(34) != 0 {
            return Err(refuse(Problem::OddArchive("it is in several parts")));
        }
        if is_folder && (packed, bytes) != (0, 0) {
            return Err(refuse(Problem::FolderWithData));
        }
        if bytes > ENTRY_MOST {
            let limit = ENTRY_MOST;
            return Err(refuse(Problem::EntryTooLarge { bytes, limit }));
        }
        if method == 0 && packed != bytes {
            return Err(refuse(Problem::HeadersDiffer("its two sizes")));
        }
        if bytes > SWELL_FREE && bytes > packed.saturating_mul(SWELL_MOST) {
            return Err(refuse(Problem::Swells { packed, bytes }));
        }
        entries.push(Entry {
            name: name.to_owned(),
            is_folder,
            method,
            flags,
            crc: header.u32(16),
            packed,
            bytes,
            header_at,
            data_at: 0,
        });
    }
    if !rest.is_empty() {
        return Err(whole(Problem::OddArchive(
            "something stands behind its directory",
        )));
    }
    let bytes: u64 = entries.iter().map(|entry| entry.bytes).sum();
    if bytes > FILE_MOST {
        let limit = FILE_MOST;
        return Err(whole(Problem::TotalTooLarge { bytes, limit }));
    }
    Ok(entries)
}

fn check_extra(mut extra: &[u8]) -> Result<(), Problem> {
    if extra.len() > EXTRA_MOST {
        return Err(Problem::OddArchive("an entry has much extra data"));
    }
    while let [id0, id1, length0, length1, behind @ ..] = extra {
        let id = u16::from_le_bytes([*id0, *id1]);
        let length = usize::from(u16::from_le_bytes([*length0, *length1]));
        if !EXTRA_HARMLESS.contains(&id) {
            return Err(Problem::OddArchive(
                "an entry has extra data of an unknown kind",
            ));
        }
        extra = behind
            .get(length..)
            .ok_or(Problem::OddArchive("an entry's extra data are cut off"))?;
    }
    match extra.is_empty() {
        true => Ok(()),
        false => Err(Problem::OddArchive("an entry's extra data are cut off")),
    }
}

fn check_flags(flags: u16, method: u16) -> Result<(), Problem> {
    // APPNOTE 4.4.4: 0 encrypted, 3 sizes follow, 6 strongly encrypted, 13 headers masked; 1 and 2 say how
    // hard the deflater tried, 11 that the name is UTF-8. Method 99 is AES (APPNOTE appendix E's forerunner).
    if flags & (1 << 0 | 1 << 6 | 1 << 13) != 0 || method == 99 {
        return Err(Problem::Encrypted);
    }
    if flags & (1 << 3) != 0 {
        return Err(Problem::OddArchive("its sizes follow the data"));
    }
    if flags & !(1 << 1 | 1 << 2 | 1 << 11) != 0 {
        return Err(Problem::OddArchive("an entry has unknown flags"));
    }
    match method {
        0 | 8 => Ok(()),
        other => Err(Problem::Compression(other)),
    }
}

/// Whether the entry is a folder; refuses links, devices, special rights and bad names.
fn check_kind(name: &str, attributes: u32) -> Result<bool, Problem> {
    check_name(name)?;
    let is_folder = name.ends_with('/');
    // Unix modes stand in the upper half. Some programs heed them whatever system made the archive.
    let mode = attributes >> 16;
    match mode & 0o170_000 {
        0o120_000 => return Err(Problem::Link),
        0o040_000 if is_folder => {}
        0o100_000 if !is_folder => {}
        // Systems without such modes leave them blank, and some programs write rights alone.
        0 => {}
        _ => return Err(Problem::OddKind),
    }
    if mode & 0o7000 != 0 {
        return Err(Problem::OddMode(mode & 0o7777));
    }
    // The DOS mark of a folder.
    if attributes & 0x10 != 0 && !is_folder {
        return Err(Problem::OddKind);
    }
    Ok(is_folder)
}

fn check_name(name: &str) -> Result<(), Problem> {
    if name.contains('\\') {
        return Err(Problem::Backslash);
    }
    let drive = name.as_bytes().get(1) == Some(&b':');
    if name.starts_with('/') || drive {
        return Err(Problem::AbsolutePath);
    }
    let path = name.strip_suffix('/').unwrap_or(name);
    if path.split('/').any(|part| part == "..") {
        return Err(Problem::PathTraversal);
    }
    if path.is_empty() {
        return Err(Problem::BadName("it is empty"));
    }
    if name.len() > NAME_MOST {
        return Err(Problem::BadName("it is too long"));
    }
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '.' | '-' | '_' | '/');
    if !path.chars().all(plain) {
        return Err(Problem::BadName(
            "only letters of the English alphabet, digits, dots, hyphens and underscores are used",
        ));
    }
    if path.split('/').any(|part| part.is_empty() || part == ".") {
        return Err(Problem::BadName("it has an empty part"));
    }
    Ok(())
}

/// No name twice, on any system: a file and a folder of one name count, and so does case.
fn check_names(entries: &[Entry]) -> Result<(), Refusal> {
    let mut seen: HashMap<String, &str> = HashMap::with_capacity(entries.len());
    for entry in entries {
        let name = entry.name.strip_suffix('/').unwrap_or(&entry.name);
        if let Some(other) = seen.insert(name.to_ascii_lowercase(), name) {
            let problem = match other == name {
                true => Problem::NameTwice,
                false => Problem::NameTwiceButForCase(other.to_owned()),
            };
            return Err(of(&entry.name, problem));
        }
    }
    Ok(())
}

/// Walks the entries in the order in which they lie, from the first byte to the directory, and compares each
/// one's own header with the directory's.
fn place(
    file: &mut BufReader<File>,
    entries: &mut [Entry],
    directory_at: u64,
    disk: &dyn Fn(io::Error) -> Refusal,
) -> Result<(), Refusal> {
    let mut order: Vec<usize> = (0..entries.len()).collect();
    order.sort_by_key(|&index| entries[index].header_at);
    let mut at = 0;
    for (turn, &index) in order.iter().enumerate() {
        let entry = &mut entries[index];
        let refuse = |problem| of(&entry.name, problem);
        match entry.header_at.cmp(&at) {
            std::cmp::Ordering::Equal => {}
            std::cmp::Ordering::Less => return Err(refuse(Problem::Overlap)),
            std::cmp::Ordering::Greater if turn == 0 => {
                let bytes = entry.header_at;
                return Err((None, Problem::LeadingJunk { bytes }));
            }
            std::cmp::Ordering::Greater => return Err(refuse(Problem::Gap)),
        }
        let room = directory_at.saturating_sub(at);
        if room < LOCAL_BYTES as u64 {
            return Err(refuse(Problem::Overlap));
        }
        let mut fixed = [0; LOCAL_BYTES];
        file.seek(SeekFrom::Start(at)).map_err(disk)?;
        file.read_exact(&mut fixed).map_err(disk)?;
        let header = Header(&fixed);
        if header.u32(0) != LOCAL_SIGNATURE {
            return Err(refuse(Problem::HeadersDiffer("where it begins")));
        }
        let (name_bytes, extra_bytes) = (usize::from(header.u16(26)), usize::from(header.u16(28)));
        if name_bytes != entry.name.len() {
            return Err(refuse(Problem::HeadersDiffer("the name")));
        }
        if extra_bytes > EXTRA_MOST {
            return Err(refuse(Problem::OddArchive("an entry has much extra data")));
        }
        let mut more = vec![0; name_bytes + extra_bytes];
        file.read_exact(&mut more)
            .map_err(|error| match error.kind() {
                io::ErrorKind::UnexpectedEof => refuse(Problem::NotAZip),
                _ => disk(error),
            })?;
        let (name, extra) = more.split_at(name_bytes);
        if name != entry.name.as_bytes() {
            return Err(refuse(Problem::HeadersDiffer("the name")));
        }
        check_extra(extra).map_err(refuse)?;
        if (header.u16(6), header.u16(8)) != (entry.flags, entry.method) {
            return Err(refuse(Problem::HeadersDiffer("how it is packed")));
        }
        if header.u32(14) != entry.crc {
            return Err(refuse(Problem::HeadersDiffer("the checksum")));
        }
        if (u64::from(header.u32(18)), u64::from(header.u32(22))) != (entry.packed, entry.bytes) {
            return Err(refuse(Problem::HeadersDiffer("the size")));
        }
        let data_at = at + (LOCAL_BYTES + name_bytes + extra_bytes) as u64;
        if data_at + entry.packed > directory_at {
            return Err(refuse(Problem::Overlap));
        }
        entry.data_at = data_at;
        at = data_at + entry.packed;
    }
    match at == directory_at {
        true => Ok(()),
        false => Err((
            None,
            Problem::OddArchive("something stands before its directory"),
        )),
    }
}
