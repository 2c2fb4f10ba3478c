//! Zip archives and bags put together byte by byte, so that they can be as wrong as a test wants them.
//!
//! Layout after PKWARE APPNOTE.TXT 6.3.10, sections 4.3.7 (local header), 4.3.12 (central header), 4.3.16 (end).
#![allow(dead_code, reason = "each test uses its part")]

use joistlight::digest::Sha256Hex;
use std::collections::BTreeMap;

/// One entry of an archive; what is `None` is as it should be.
#[derive(Debug, Clone)]
pub struct Piece {
    pub name: Vec<u8>,
    pub data: Vec<u8>,
    /// Flags (APPNOTE 4.4.4) and method (4.4.5).
    pub flags: u16,
    pub method: u16,
    /// The upper half is the Unix mode.
    pub attributes: u32,
    pub extra: Vec<u8>,
    pub comment: Vec<u8>,
    /// Bytes put before the entry that belong to nobody.
    pub gap: Vec<u8>,
    /// What the archive holds in place of `data`.
    pub packed: Option<Vec<u8>>,
    /// What both headers say of the size when unpacked.
    pub said_bytes: Option<u32>,
    /// What both headers say of the CRC-32.
    pub said_crc: Option<u32>,
    /// What the local header alone says.
    pub local_name: Option<Vec<u8>>,
    pub local_method: Option<u16>,
    pub local_crc: Option<u32>,
    pub local_bytes: Option<u32>,
    pub local_extra: Option<Vec<u8>>,
    /// Where the directory says that the entry begins.
    pub said_at: Option<u32>,
    /// No local header and data of its own: only a line in the directory.
    pub only_listed: bool,
}

impl Piece {
    pub fn file(name: &str, data: &[u8]) -> Self {
        Piece {
            name: name.as_bytes().to_vec(),
            data: data.to_vec(),
            flags: 0,
            method: 0,
            attributes: 0o100_644 << 16,
            extra: Vec::new(),
            comment: Vec::new(),
            gap: Vec::new(),
            packed: None,
            said_bytes: None,
            said_crc: None,
            local_name: None,
            local_method: None,
            local_crc: None,
            local_bytes: None,
            local_extra: None,
            said_at: None,
            only_listed: false,
        }
    }

    pub fn folder(name: &str) -> Self {
        Piece {
            attributes: 0o040_755 << 16 | 0x10,
            ..Piece::file(&format!("{name}/"), b"")
        }
    }

    /// The same, deflated.
    pub fn deflated(self) -> Self {
        use flate2::{Compression, write::DeflateEncoder};
        use std::io::Write;
        let mut encoder = DeflateEncoder::new(Vec::new(), Compression::best());
        encoder.write_all(&self.data).unwrap();
        Piece {
            method: 8,
            packed: Some(encoder.finish().unwrap()),
            ..self
        }
    }
}

/// An archive of these entries; what is `None` is as it should be.
#[derive(Debug, Clone, Default)]
pub struct Zip {
    pub pieces: Vec<Piece>,
    pub before_directory: Vec<u8>,
    pub said_count: Option<u16>,
    pub said_directory_at: Option<u32>,
    pub said_directory_bytes: Option<u32>,
    pub comment: Vec<u8>,
    pub disk: u16,
}

fn put16(out: &mut Vec<u8>, number: usize) {
    out.extend(u16::try_from(number).unwrap().to_le_bytes());
}

fn put32(out: &mut Vec<u8>, number: u32) {
    out.extend(number.to_le_bytes());
}

impl Zip {
    pub fn bytes(&self) -> Vec<u8> {
        let mut out = Vec::new();
        let mut directory = Vec::new();
        for piece in &self.pieces {
            out.extend(&piece.gap);
            let at = u32::try_from(out.len()).unwrap();
            let packed = piece.packed.as_ref().unwrap_or(&piece.data);
            let packed_bytes = u32::try_from(packed.len()).unwrap();
            let bytes = u32::try_from(piece.data.len()).unwrap();
            let bytes = piece.said_bytes.unwrap_or(bytes);
            let crc = piece.said_crc.unwrap_or(crc32fast::hash(&piece.data));
            if !piece.only_listed {
                let name = piece.local_name.as_ref().unwrap_or(&piece.name);
                let extra = piece.local_extra.as_ref().unwrap_or(&piece.extra);
                put32(&mut out, 0x0403_4b50);
                put16(&mut out, 20);
                put16(&mut out, piece.flags.into());
                put16(&mut out, piece.local_method.unwrap_or(piece.method).into());
                put32(&mut out, 0x0021_0000); // 1980-01-01
                put32(&mut out, piece.local_crc.unwrap_or(crc));
                put32(&mut out, packed_bytes);
                put32(&mut out, piece.local_bytes.unwrap_or(bytes));
                put16(&mut out, name.len());
                put16(&mut out, extra.len());
                out.extend(name);
                out.extend(extra);
                out.extend(packed);
            }
            put32(&mut directory, 0x0201_4b50);
            put16(&mut directory, 3 << 8 | 20);
            put16(&mut directory, 20);
            put16(&mut directory, piece.flags.into());
            put16(&mut directory, piece.method.into());
            put32(&mut directory, 0x0021_0000);
            put32(&mut directory, crc);
            put32(&mut directory, packed_bytes);
            put32(&mut directory, bytes);
            put16(&mut directory, piece.name.len());
            put16(&mut directory, piece.extra.len());
            put16(&mut directory, piece.comment.len());
            put16(&mut directory, 0);
            put16(&mut directory, 0);
            put32(&mut directory, piece.attributes);
            put32(&mut directory, piece.said_at.unwrap_or(at));
            directory.extend(&piece.name);
            directory.extend(&piece.extra);
            directory.extend(&piece.comment);
        }
        out.extend(&self.before_directory);
        let directory_at = u32::try_from(out.len()).unwrap();
        let directory_bytes = u32::try_from(directory.len()).unwrap();
        out.extend(&directory);
        let count = self.said_count.unwrap_or(self.pieces.len() as u16);
        put32(&mut out, 0x0605_4b50);
        put16(&mut out, self.disk.into());
        put16(&mut out, 0);
        put16(&mut out, count.into());
        put16(&mut out, count.into());
        put32(
            &mut out,
            self.said_directory_bytes.unwrap_or(directory_bytes),
        );
        put32(&mut out, self.said_directory_at.unwrap_or(directory_at));
        put16(&mut out, self.comment.len());
        out.extend(&self.comment);
        out
    }
}

/// The files of a bag by path within it.
#[derive(Debug, Clone)]
pub struct Bag {
    pub base: String,
    pub files: BTreeMap<String, Vec<u8>>,
}

impl Bag {
    /// Takes a well-made bundle apart.
    pub fn of(bundle: &[u8]) -> Self {
        let mut archive = zip::ZipArchive::new(std::io::Cursor::new(bundle)).unwrap();
        let mut files = BTreeMap::new();
        let mut base = String::new();
        for index in 0..archive.len() {
            let mut entry = archive.by_index(index).unwrap();
            let name = entry.name().unwrap().into_owned();
            let (top, path) = name.split_once('/').unwrap();
            base = top.to_owned();
            let path = path.to_owned();
            let mut bytes = Vec::new();
            std::io::copy(&mut entry, &mut bytes).unwrap();
            files.insert(path, bytes);
        }
        Bag { base, files }
    }

    pub fn text(&self, path: &str) -> String {
        String::from_utf8(self.files[path].clone()).unwrap()
    }

    /// Replaces text in a file, which must hold it.
    pub fn replace(mut self, path: &str, from: &str, to: &str) -> Self {
        let text = self.text(path);
        assert!(text.contains(from), "{path} has no {from}: {text}");
        self.files
            .insert(path.into(), text.replace(from, to).into());
        self
    }

    pub fn with(mut self, path: &str, bytes: impl Into<Vec<u8>>) -> Self {
        self.files.insert(path.into(), bytes.into());
        self
    }

    pub fn without(mut self, path: &str) -> Self {
        self.files.remove(path).unwrap_or_else(|| panic!("{path}"));
        self
    }

    /// Makes counts and manifests true again, as a forger would.
    pub fn sealed(self) -> Self {
        let payload = || {
            self.files
                .iter()
                .filter(|(path, _)| path.starts_with("data/"))
        };
        let bytes: usize = payload().map(|(_, bytes)| bytes.len()).sum();
        let oxum = format!("Payload-Oxum: {bytes}.{}", payload().count());
        let manifest: String = payload()
            .map(|(path, bytes)| format!("{}  {path}\n", Sha256Hex::of(bytes)))
            .collect();
        let info: Vec<String> = self
            .text("bag-info.txt")
            .lines()
            .map(|line| match line.starts_with("Payload-Oxum:") {
                true => oxum.clone(),
                false => line.to_owned(),
            })
            .collect();
        self.with("bag-info.txt", info.join("\n") + "\n")
            .with("manifest-sha256.txt", manifest)
            .sealed_tags()
    }

    /// Makes the tag manifest true again.
    pub fn sealed_tags(self) -> Self {
        let text: String = ["bag-info.txt", "bagit.txt", "manifest-sha256.txt"]
            .iter()
            .filter_map(|path| {
                let bytes = self.files.get(*path)?;
                Some(format!("{}  {path}\n", Sha256Hex::of(bytes)))
            })
            .collect();
        self.with("tagmanifest-sha256.txt", text)
    }

    pub fn pieces(&self) -> Vec<Piece> {
        self.files
            .iter()
            .map(|(path, bytes)| Piece::file(&format!("{}/{path}", self.base), bytes))
            .collect()
    }

    pub fn zip(&self) -> Zip {
        Zip {
            pieces: self.pieces(),
            ..Zip::default()
        }
    }
}
