//! Each thing for which a bundle is refused: a file that has just that wrong, the sentence, and that nothing was
//! written.

use crate::bundles::{device, now};
use crate::zips::{Bag, Piece, Zip};
use joistlight::bundle::{self, Bundle, BundleError, Problem, Watch};
use joistlight::survey::FileError;
use std::fs;
use std::sync::OnceLock;

/// A good bundle with two pictures.
fn good() -> &'static Bag {
    static BAG: OnceLock<Bag> = OnceLock::new();
    BAG.get_or_init(|| {
        let device = device(7, 2, (64, 48));
        let out = tempfile::tempdir().unwrap();
        let path = device.bundle(out.path(), Watch::default()).unwrap();
        Bag::of(&fs::read(path).unwrap())
    })
}

/// The paths of the pictures and of the thumbnails in the good bundle.
fn photo(number: usize) -> String {
    let mut photos = good()
        .files
        .keys()
        .filter(|p| p.starts_with("data/photos/"));
    photos.nth(number).unwrap().clone()
}

fn thumbnail(number: usize) -> String {
    photo(number).replace("photos", "thumbnails")
}

/// What opening, verifying and unpacking say, which must be the same, and that nothing was written.
fn refusal_of(bytes: &[u8]) -> BundleError {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sent.zip");
    fs::write(&path, bytes).unwrap();
    let unpacked = Bundle::open(&path)
        .and_then(|mut bundle| bundle.unpack(&folder.path().join("into"), Watch::default()))
        .expect_err("refused when unpacked");
    let verified = Bundle::open(&path)
        .and_then(|mut bundle| bundle.verify(Watch::default()))
        .expect_err("refused when verified");
    assert_eq!(verified.to_string(), unpacked.to_string());
    let left = fs::read_dir(folder.path()).unwrap().count();
    assert_eq!(left, 1, "{verified}: only the bundle itself is there");
    let sentence = verified.to_string();
    assert!(
        sentence.starts_with(&path.display().to_string()),
        "{sentence}"
    );
    assert!(sentence.ends_with('.'), "{sentence}");
    assert!(!sentence.contains(|c: char| c.is_control() || c == '\u{202e}'));
    println!(
        "{}",
        sentence.replace(&folder.path().display().to_string(), "…")
    );
    verified
}

/// Checks that a zip is refused for the entry and the problem.
#[track_caller]
fn refused(zip: &Zip, entry: Option<&str>, is: fn(&Problem) -> bool) {
    refused_bytes(&zip.bytes(), entry, is);
}

#[track_caller]
fn refused_bytes(bytes: &[u8], entry: Option<&str>, is: fn(&Problem) -> bool) {
    let error = refusal_of(bytes);
    assert!(is(&error.problem), "{error} ({:?})", error.problem);
    assert_eq!(error.entry.as_deref(), entry, "{error}");
}

#[track_caller]
fn bag_refused(bag: Bag, entry: &str, is: fn(&Problem) -> bool) {
    refused(&bag.zip(), Some(entry), is);
}

fn in_base(path: &str) -> String {
    format!("{}/{path}", good().base)
}

/// The good bundle with one more entry, or with its first one changed.
fn with(piece: Piece) -> Zip {
    let mut zip = good().zip();
    zip.pieces.push(piece);
    zip
}

fn changed(change: impl FnOnce(&mut Piece)) -> Zip {
    let mut zip = good().zip();
    change(&mut zip.pieces[0]);
    zip
}

fn first() -> String {
    String::from_utf8(good().zip().pieces[0].name.clone()).unwrap()
}

#[test]
fn the_good_bundle_put_together_by_hand_is_taken() {
    // Otherwise every refusal below could have another reason.
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sent.zip");
    for zip in [
        good().zip(),
        good().clone().sealed().zip(),
        changed(|_| {}),
        with(Piece::folder(&in_base("data"))),
    ] {
        fs::write(&path, zip.bytes()).unwrap();
        let mut bundle = Bundle::open(&path).unwrap();
        bundle.verify(Watch::default()).unwrap();
        bundle
            .unpack(&folder.path().join("into"), Watch::default())
            .unwrap();
        fs::remove_dir_all(folder.path().join("into")).unwrap();
    }
}

// ── no bundle at all ─────────────────────────────────────────────────────────────────────────────────────

#[test]
fn what_is_no_archive() {
    let no_zip = |p: &Problem| matches!(p, Problem::NotAZip);
    refused_bytes(b"", None, no_zip);
    refused_bytes(b"PK", None, no_zip);
    refused_bytes("Dear office, ".repeat(100).as_bytes(), None, no_zip);
    refused(&Zip::default(), None, no_zip);
    let whole = good().zip().bytes();
    for length in [10, whole.len() / 2, whole.len() - 1] {
        refused_bytes(&whole[..length], None, |p| {
            matches!(p, Problem::NotAZip | Problem::TrailingJunk)
        });
    }
    // A folder, and nothing at all.
    let folder = tempfile::tempdir().unwrap();
    let error = Bundle::open(folder.path()).unwrap_err();
    assert!(
        no_zip(&error.problem) || matches!(error.problem, Problem::Disk(_)),
        "{error}"
    );
    let error = Bundle::open(&folder.path().join("none.zip")).unwrap_err();
    assert!(
        error
            .to_string()
            .ends_with("none.zip: this is not there (any more)."),
        "{error}"
    );
}

#[test]
fn bytes_before_between_and_behind() {
    let bytes = good().zip().bytes();
    refused_bytes(&[b"MZ junk", &bytes[..]].concat(), None, |p| {
        matches!(p, Problem::LeadingJunk { bytes: 7 })
    });
    refused(&changed(|p| p.gap = b"junk".to_vec()), None, |p| {
        matches!(p, Problem::LeadingJunk { bytes: 4 })
    });
    refused_bytes(&[&bytes[..], b"\n"].concat(), None, |p| {
        matches!(p, Problem::TrailingJunk)
    });
    refused_bytes(&[&bytes[..], &bytes[..]].concat(), None, |p| {
        matches!(p, Problem::LeadingJunk { .. })
    });
    let commented = Zip {
        comment: b"hello".to_vec(),
        ..good().zip()
    };
    refused(&commented, None, |p| matches!(p, Problem::TrailingJunk));
    let mut zip = good().zip();
    zip.pieces[1].gap = b"junk".to_vec();
    let name = String::from_utf8(zip.pieces[1].name.clone()).unwrap();
    refused(&zip, Some(&name), |p| matches!(p, Problem::Gap));
    let hidden = Zip {
        before_directory: b"junk".to_vec(),
        ..good().zip()
    };
    refused(&hidden, None, |p| matches!(p, Problem::OddArchive(_)));
}

#[test]
fn archives_of_an_odd_kind() {
    let odd = |p: &Problem| matches!(p, Problem::OddArchive(_));
    let zip = good().zip();
    refused(
        &Zip {
            disk: 1,
            ..zip.clone()
        },
        None,
        odd,
    );
    refused(
        &Zip {
            said_count: Some(0xffff),
            ..zip.clone()
        },
        None,
        odd,
    );
    refused(
        &Zip {
            said_directory_at: Some(u32::MAX),
            ..zip.clone()
        },
        None,
        odd,
    );
    let fewer = zip.pieces.len() as u16 - 1;
    refused(
        &Zip {
            said_count: Some(fewer),
            ..zip.clone()
        },
        None,
        odd,
    );
    let more = zip.pieces.len() as u16 + 1;
    let no_zip = |p: &Problem| matches!(p, Problem::NotAZip);
    refused(
        &Zip {
            said_count: Some(more),
            ..zip.clone()
        },
        None,
        no_zip,
    );
    refused(
        &Zip {
            said_directory_bytes: Some(1 << 30),
            ..zip
        },
        None,
        no_zip,
    );
    let first = first();
    refused(&changed(|p| p.flags = 1 << 3), Some(&first), odd);
    refused(&changed(|p| p.flags = 1 << 5), Some(&first), odd);
    refused(
        &changed(|p| p.comment = b"hello".to_vec()),
        Some(&first),
        odd,
    );
    refused(&changed(|p| p.said_at = Some(u32::MAX)), Some(&first), odd);
    // Another name in an extra field (Info-ZIP 0x7075), 64-bit sizes (0x0001), a cut-off field, much of it.
    for extra in [
        b"\x75\x70\x06\x00\x01abcde".to_vec(),
        b"\x01\x00\x08\x00\x00\x00\x00\x00\x00\x00\x00\x00".to_vec(),
        b"\x55\x54\x09\x00\x01".to_vec(),
        b"\x55\x54\x09".to_vec(),
        [&b"\x55\x54\x60\x00"[..], &[0; 96]].concat(),
    ] {
        let in_both = changed(|p| p.extra = extra.clone());
        refused(&in_both, Some(&first), odd);
        let in_one = changed(|p| p.local_extra = Some(extra));
        refused(&in_one, Some(&first), odd);
    }
}

#[test]
fn two_headers_that_differ() {
    let differ = |p: &Problem| matches!(p, Problem::HeadersDiffer(_));
    let first = first();
    let other = first.replace("bag-info", "bag-inf0").into_bytes();
    refused(
        &changed(|p| p.local_name = Some(other)),
        Some(&first),
        differ,
    );
    refused(
        &changed(|p| p.local_name = Some(b"x".to_vec())),
        Some(&first),
        differ,
    );
    refused(&changed(|p| p.local_method = Some(8)), Some(&first), differ);
    refused(&changed(|p| p.local_crc = Some(7)), Some(&first), differ);
    refused(&changed(|p| p.local_bytes = Some(7)), Some(&first), differ);
    refused(&changed(|p| p.said_bytes = Some(7)), Some(&first), differ);
}

#[test]
fn entries_that_overlap() {
    let overlap = |p: &Problem| matches!(p, Problem::Overlap);
    // A second name for the first entry's bytes.
    let mut zip = good().zip();
    let mut twin = zip.pieces[0].clone();
    twin.name = in_base("data/twin").into_bytes();
    twin.said_at = Some(0);
    twin.only_listed = true;
    zip.pieces.push(twin);
    refused(&zip, Some(&in_base("data/twin")), overlap);
    // An entry within another one's data, as in archives that unpack to many times their size.
    let inner = Zip {
        pieces: vec![Piece::file(&in_base("data/inner"), b"inner")],
        ..Zip::default()
    }
    .bytes();
    let mut zip = good().zip();
    let outer = Piece::file(&in_base("data/outer"), &inner);
    let length_before = |zip: &Zip| {
        let bytes = zip.bytes();
        let tail = &bytes[bytes.len() - 22..];
        u32::from_le_bytes(tail[16..20].try_into().unwrap())
    };
    let at = length_before(&zip) + 30 + outer.name.len() as u32;
    zip.pieces.push(outer);
    let mut listed = Piece::file(&in_base("data/inner"), b"inner");
    listed.said_at = Some(at);
    listed.only_listed = true;
    zip.pieces.push(listed);
    refused(&zip, Some(&in_base("data/inner")), overlap);
    // Data that reach into the directory.
    let mut zip = good().zip();
    let last = zip.pieces.len() - 1;
    let directory_at = length_before(&zip);
    zip.pieces[last].said_at = Some(directory_at - 10);
    refused_bytes(
        &zip.bytes(),
        Some(&String::from_utf8(zip.pieces[last].name.clone()).unwrap()),
        |p| matches!(p, Problem::Overlap | Problem::Gap),
    );
}

// ── sizes ────────────────────────────────────────────────────────────────────────────────────────────────

#[test]
fn an_archive_made_to_fill_disks() {
    // Said openly: a gigabyte of zeros in a megabyte.
    let swells = |p: &Problem| matches!(p, Problem::Swells { .. });
    let name = in_base("data/zeros");
    let zeros = Piece::file(&name, &vec![0; 20 << 20]).deflated();
    assert!(zeros.packed.as_ref().unwrap().len() < 30_000);
    refused(&with(zeros), Some(&name), swells);

    // Said falsely: the directory names a small size, the data go on.
    let report = Piece::file(&in_base("data/report.html"), &vec![b' '; 20 << 20]).deflated();
    let mut zip = good().zip();
    let place = |piece: &Piece| piece.name.ends_with(b"report.html");
    let at = zip.pieces.iter().position(place).unwrap();
    let honest = good().files["data/report.html"].clone();
    zip.pieces[at] = Piece {
        said_bytes: Some(honest.len() as u32),
        said_crc: Some(crc32fast::hash(&honest)),
        ..report
    };
    refused(&zip, Some("data/report.html"), |p| {
        matches!(p, Problem::LongerThanSaid { .. })
    });

    // One that is too large however it is packed.
    let large = Piece {
        said_bytes: Some((bundle::ENTRY_MOST + 1) as u32),
        ..Piece::file(&name, b"")
    };
    refused(&with(large), Some(&name), |p| {
        matches!(p, Problem::EntryTooLarge { .. })
    });

    // Many that are too large together: each packed, none of them there.
    let mut zip = good().zip();
    let packed = vec![0; 340_000];
    for number in 0..20 {
        zip.pieces.push(Piece {
            method: 8,
            packed: Some(packed.clone()),
            said_bytes: Some(bundle::ENTRY_MOST as u32),
            ..Piece::file(&in_base(&format!("data/{number}")), b"")
        });
    }
    refused(&zip, None, |p| matches!(p, Problem::TotalTooLarge { .. }));

    // Very many.
    let mut zip = good().zip();
    for number in 0..=bundle::ENTRIES_MOST {
        zip.pieces
            .push(Piece::file(&in_base(&format!("data/{number}")), b""));
    }
    refused(&zip, None, |p| matches!(p, Problem::TooManyEntries { .. }));
}

#[test]
fn a_file_beyond_any_bundle() {
    // Sparse: it takes no room.
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("huge.zip");
    let file = fs::File::create(&path).unwrap();
    file.set_len(bundle::FILE_MOST + 1).unwrap();
    let error = Bundle::open(&path).unwrap_err();
    assert!(
        matches!(error.problem, Problem::FileTooLarge { .. }),
        "{error}"
    );
}

#[test]
fn pictures_and_texts_larger_than_any() {
    let path = photo(0);
    let bag = good().clone().with(&path, vec![0; (16 << 20) + 1]).sealed();
    bag_refused(bag, &path, |p| matches!(p, Problem::EntryTooLarge { .. }));
    let huge = format!(
        "{}{}",
        good().text("data/survey.json"),
        " ".repeat(17 << 20)
    );
    let bag = good().clone().with("data/survey.json", huge).sealed();
    bag_refused(bag, "data/survey.json", |p| {
        matches!(p, Problem::EntryTooLarge { .. })
    });
    let huge = format!(
        "{}{}",
        good().text("bag-info.txt"),
        "x: y\n".repeat(1 << 20)
    );
    let bag = good().clone().with("bag-info.txt", huge).sealed_tags();
    bag_refused(bag, "bag-info.txt", |p| {
        matches!(p, Problem::EntryTooLarge { .. })
    });
}

// ── entries ──────────────────────────────────────────────────────────────────────────────────────────────

#[test]
fn encrypted_entries() {
    let first = first();
    let encrypted = |p: &Problem| matches!(p, Problem::Encrypted);
    refused(&changed(|p| p.flags = 1), Some(&first), encrypted);
    refused(&changed(|p| p.flags = 1 << 6 | 1), Some(&first), encrypted);
    refused(&changed(|p| p.flags = 1 << 13), Some(&first), encrypted);
    refused(&changed(|p| p.method = 99), Some(&first), encrypted);
}

#[test]
fn other_compression() {
    let first = first();
    // Deflate64, bzip2, LZMA, Zstandard, and one that nobody has given out.
    for method in [9, 12, 14, 93, 1234] {
        let error = refusal_of(&changed(|p| p.method = method).bytes());
        assert!(
            matches!(error.problem, Problem::Compression(it) if it == method),
            "{error}"
        );
        assert_eq!(error.entry.as_deref(), Some(&first[..]));
    }
}

#[test]
fn names_that_lead_elsewhere() {
    let traversal = |p: &Problem| matches!(p, Problem::PathTraversal);
    for name in [
        "../evil.txt".to_owned(),
        in_base("../../evil.txt"),
        in_base("data/../../evil.txt"),
        in_base("data/.."),
        in_base("../"),
        "..".to_owned(),
    ] {
        refused(&with(Piece::file(&name, b"x")), Some(&name), traversal);
    }
    let absolute = |p: &Problem| matches!(p, Problem::AbsolutePath);
    for name in [
        "/etc/evil.txt",
        "C:/evil.txt",
        "c:evil.txt",
        "//server/share/evil.txt",
    ] {
        refused(&with(Piece::file(name, b"x")), Some(name), absolute);
    }
    let backslash = |p: &Problem| matches!(p, Problem::Backslash);
    for name in [
        "..\\evil.txt",
        "C:\\evil.txt",
        "\\\\server\\evil.txt",
        &in_base("data\\evil.txt"),
    ] {
        refused(&with(Piece::file(name, b"x")), Some(name), backslash);
    }
    let bad = |p: &Problem| matches!(p, Problem::BadName(_));
    for name in [
        "",
        "/",
        &in_base("data//x"),
        &in_base("./data/x"),
        &in_base("data/x\u{0}.txt"),
        &in_base("data/x\n"),
        &in_base("data/NUL:"),
        &in_base("data/caf\u{e9}"),
        &in_base("data/\u{202e}gpj.exe"),
        &in_base(&"x".repeat(300)),
    ] {
        let error = refusal_of(&with(Piece::file(name, b"x")).bytes());
        let expected = match name {
            "/" => absolute(&error.problem),
            _ => bad(&error.problem) || matches!(error.problem, Problem::OddArchive(_)),
        };
        assert!(expected, "{name:?}: {error}");
    }
    let mut latin = Piece::file("x", b"x");
    latin.name = b"caf\xe9".to_vec();
    refused(&with(latin), Some("caf\u{fffd}"), |p| {
        matches!(p, Problem::NameNotUtf8)
    });
}

#[test]
fn links_and_other_things_that_are_no_files() {
    let name = in_base("data/link");
    let of_mode = |mode: u32| {
        let mut piece = Piece::file(&name, b"/etc/passwd");
        piece.attributes = mode << 16;
        with(piece)
    };
    refused(&of_mode(0o120_777), Some(&name), |p| {
        matches!(p, Problem::Link)
    });
    let odd = |p: &Problem| matches!(p, Problem::OddKind);
    // A device, a block device, a pipe, a socket, a folder without the mark of one.
    for mode in [0o020_666, 0o060_666, 0o010_666, 0o140_666, 0o040_755] {
        refused(&of_mode(mode), Some(&name), odd);
    }
    let rights = |p: &Problem| matches!(p, Problem::OddMode(_));
    for mode in [0o104_755, 0o102_755, 0o101_777] {
        refused(&of_mode(mode), Some(&name), rights);
    }
    let mut dos = Piece::file(&name, b"x");
    dos.attributes = 0x10;
    refused(&with(dos), Some(&name), odd);
    let folder = Piece::folder(&in_base("data"));
    let folder_name = in_base("data/");
    let of_folder = |attributes: u32, data: &[u8]| {
        let data = data.to_vec();
        with(Piece {
            attributes,
            data,
            ..folder.clone()
        })
    };
    refused(&of_folder(0o100_644 << 16, b""), Some(&folder_name), odd);
    refused(&of_folder(0o120_777 << 16, b""), Some(&folder_name), |p| {
        matches!(p, Problem::Link)
    });
    refused(&of_folder(0o042_755 << 16, b""), Some(&folder_name), rights);
    refused(&of_folder(0o040_755 << 16, b"x"), Some(&folder_name), |p| {
        matches!(p, Problem::FolderWithData)
    });
}

#[test]
fn the_same_name_twice() {
    let name = in_base("data/survey.json");
    refused(&with(Piece::file(&name, b"{}")), Some(&name), |p| {
        matches!(p, Problem::NameTwice)
    });
    let shouted = in_base("data/SURVEY.json");
    refused(&with(Piece::file(&shouted, b"{}")), Some(&shouted), |p| {
        matches!(p, Problem::NameTwiceButForCase(_))
    });
    let folder = Piece::folder(&name);
    refused(&with(folder), Some(&format!("{name}/")), |p| {
        matches!(p, Problem::NameTwice)
    });
}

#[test]
fn damaged_data() {
    // A flipped bit in a picture, told by the archive's checksum; and with that made true, by the manifest's.
    let mut zip = good().zip();
    let path = photo(0);
    let at = zip
        .pieces
        .iter()
        .position(|p| p.name.ends_with(path.as_bytes()))
        .unwrap();
    let mut flipped = zip.pieces[at].data.clone();
    let middle = flipped.len() / 2;
    flipped[middle] ^= 4;
    zip.pieces[at].packed = Some(flipped.clone());
    refused(&zip, Some(&path), |p| matches!(p, Problem::Crc));
    zip.pieces[at].said_crc = Some(crc32fast::hash(&flipped));
    refused(&zip, Some(&path), |p| matches!(p, Problem::Digest { .. }));

    // Deflated data that are none, that end early, and that have something behind them.
    let damaged = |p: &Problem| matches!(p, Problem::DataDamaged(_));
    let path = "data/report.html";
    let report = Piece::file(&in_base(path), &good().files[path]).deflated();
    let packed = report.packed.clone().unwrap();
    let at = zip
        .pieces
        .iter()
        .position(|p| p.name.ends_with(b"report.html"))
        .unwrap();
    for bad in [
        vec![0xff; 900],
        packed[..packed.len() - 9].to_vec(),
        [&packed[..], b"behind"].concat(),
    ] {
        let mut zip = good().zip();
        zip.pieces[at] = Piece {
            packed: Some(bad),
            ..report.clone()
        };
        refused(&zip, Some(path), |p| {
            matches!(p, Problem::DataDamaged(_) | Problem::Swells { .. })
        });
    }
    let short = Piece {
        said_bytes: Some(report.data.len() as u32 + 1),
        ..report
    };
    let mut zip = good().clone().zip();
    zip.pieces[at] = short;
    let error = refusal_of(&zip.bytes());
    assert!(
        damaged(&error.problem) || matches!(error.problem, Problem::Oxum { .. }),
        "{error}"
    );
}

// ── the bag ──────────────────────────────────────────────────────────────────────────────────────────────

#[test]
fn one_folder_and_no_other() {
    let beside = |p: &Problem| matches!(p, Problem::NotOneFolder);
    for name in ["notes.txt", "other/bagit.txt", "__MACOSX/x"] {
        refused(&with(Piece::file(name, b"x")), Some(name), beside);
    }
    let mut zip = good().zip();
    for piece in &mut zip.pieces {
        piece.name.drain(..=good().base.len());
    }
    let first = String::from_utf8(zip.pieces[0].name.clone()).unwrap();
    refused(&zip, Some(&first), beside);
}

#[test]
fn a_bag_without_its_files() {
    for name in [
        "bagit.txt",
        "bag-info.txt",
        "manifest-sha256.txt",
        "tagmanifest-sha256.txt",
    ] {
        bag_refused(good().clone().without(name), name, |p| {
            matches!(p, Problem::TagFileMissing)
        });
    }
}

#[test]
fn another_kind_of_bag() {
    let declaration = |p: &Problem| matches!(p, Problem::Declaration);
    for (from, to) in [
        ("1.0", "0.97"),
        ("1.0", "2.0"),
        ("UTF-8", "UTF-16"),
        ("BagIt", "Bag It"),
    ] {
        let bag = good().clone().replace("bagit.txt", from, to).sealed_tags();
        bag_refused(bag, "bagit.txt", declaration);
    }
}

#[test]
fn a_newer_version_of_anything() {
    let bag = good()
        .clone()
        .replace("bag-info.txt", "Bundle-Version: 1", "Bundle-Version: 2")
        .sealed_tags();
    bag_refused(bag, "bag-info.txt", |p| {
        matches!(
            p,
            Problem::NewerBundle {
                version: 2,
                known: 1
            }
        )
    });
    let newer = |p: &Problem| matches!(p, Problem::Text(FileError::Newer { .. }));
    for (path, from, to) in [
        ("data/survey.json", "\"version\": 2", "\"version\": 3"),
        ("data/findings.json", "\"version\":3", "\"version\":4"),
    ] {
        let bag = good().clone().replace(path, from, to).sealed();
        bag_refused(bag, path, newer);
    }
}

#[test]
fn descriptions_that_are_not_true() {
    let lied = |from: &str, to: &str| {
        let text = good().text("bag-info.txt");
        let line = text.lines().find(|line| line.starts_with(from)).unwrap();
        good()
            .clone()
            .replace("bag-info.txt", &format!("{line}\n"), to)
            .sealed_tags()
    };
    let name = "bag-info.txt";
    bag_refused(lied("Payload-Oxum", "Payload-Oxum: 1.1\n"), name, |p| {
        matches!(p, Problem::Oxum { .. })
    });
    bag_refused(lied("Payload-Oxum", ""), name, |p| {
        matches!(p, Problem::BagInfo("Payload-Oxum"))
    });
    let twice = "Bagging-Date: 2026-05-03\nBagging-Date: 2026-05-03\n";
    bag_refused(lied("Bagging-Date", twice), name, |p| {
        matches!(p, Problem::BagInfo("Bagging-Date"))
    });
    let other = "External-Identifier: urn:uuid:00000000-0000-0000-0000-000000000001\n";
    bag_refused(lied("External-Identifier", other), name, |p| {
        matches!(p, Problem::OtherSurvey("External-Identifier"))
    });
    let other = "Joistlight-Survey-Revision: 9\n";
    bag_refused(lied("Joistlight-Survey-Revision", other), name, |p| {
        matches!(p, Problem::OtherSurvey("Joistlight-Survey-Revision"))
    });
    for bad in ["one", "-1", "1.0", ""] {
        let line = format!("Joistlight-Bundle-Version: {bad}\n");
        bag_refused(lied("Joistlight-Bundle-Version", &line), name, |p| {
            matches!(p, Problem::BagInfo("Joistlight-Bundle-Version"))
        });
    }
}

#[test]
fn manifests_that_are_not_true() {
    let name = "manifest-sha256.txt";
    let text = good().text(name);
    let sealed = |text: String| good().clone().with(name, text).sealed_tags();
    // A wrong digest in it is found at the file it is about.
    let path = photo(1);
    let line = text.lines().find(|line| line.ends_with(&path)).unwrap();
    let wrong = format!("{}  {path}", "0".repeat(64));
    bag_refused(sealed(text.replace(line, &wrong)), &path, |p| {
        matches!(p, Problem::PictureName)
    });
    let line = text
        .lines()
        .find(|line| line.ends_with("report.html"))
        .unwrap();
    bag_refused(
        sealed(text.replace(&line[..64], &"0".repeat(64))),
        "data/report.html",
        |p| matches!(p, Problem::Digest { .. }),
    );
    // A file that is named but missing, there but not named, named twice, named elsewhere.
    bag_refused(good().clone().without(&path), &path, |p| {
        matches!(p, Problem::Missing)
    });
    bag_refused(
        sealed(text.replace(&format!("{line}\n"), "")),
        "data/report.html",
        |p| matches!(p, Problem::NotListed),
    );
    bag_refused(
        good().clone().with("data/more.txt", "x"),
        "data/more.txt",
        |p| matches!(p, Problem::NotListed),
    );
    bag_refused(sealed(format!("{text}{line}\n")), name, |p| {
        matches!(p, Problem::ManifestTwice { .. })
    });
    let outside = format!("{text}{}  ../../etc/passwd\n", "0".repeat(64));
    bag_refused(sealed(outside), "../../etc/passwd", |p| {
        matches!(p, Problem::Missing)
    });
    for bad in ["rubbish", "", &line.to_uppercase()] {
        bag_refused(sealed(format!("{text}{bad}\n\n")), name, |p| {
            matches!(p, Problem::ManifestLine { .. })
        });
    }
    let mut bytes = text.into_bytes();
    bytes.extend(b"\xff\xfe\n");
    bag_refused(good().clone().with(name, bytes).sealed_tags(), name, |p| {
        matches!(p, Problem::NotUtf8 { .. })
    });
}

#[test]
fn tag_manifests_that_are_not_true() {
    let name = "tagmanifest-sha256.txt";
    let text = good().text(name);
    // Any tag file changed without it.
    let bag = good().clone().replace("bag-info.txt", "2026", "2027");
    bag_refused(bag, "bag-info.txt", |p| matches!(p, Problem::Digest { .. }));
    let manifest = good().text("manifest-sha256.txt").replacen('\n', "\r\n", 1);
    let bag = good().clone().with("manifest-sha256.txt", manifest);
    bag_refused(bag, "manifest-sha256.txt", |p| {
        matches!(p, Problem::Digest { .. })
    });
    // A tag file that it leaves out, one too many, a bad line.
    let line = text
        .lines()
        .find(|line| line.ends_with("bagit.txt"))
        .unwrap();
    let bag = good()
        .clone()
        .with(name, text.replace(&format!("{line}\n"), ""));
    bag_refused(bag, "bagit.txt", |p| matches!(p, Problem::NotListed));
    let bag = good()
        .clone()
        .with(name, format!("{text}{}  fetch.txt\n", "0".repeat(64)));
    bag_refused(bag, "fetch.txt", |p| matches!(p, Problem::Missing));
    let bag = good().clone().with(name, "rubbish\n");
    bag_refused(bag, name, |p| {
        matches!(p, Problem::ManifestLine { line: 1 })
    });
    // A tag file that no bundle has.
    let bag = good()
        .clone()
        .with("fetch.txt", "https://example.org/x 3 data/x\n");
    bag_refused(bag, "fetch.txt", |p| matches!(p, Problem::NotListed));
}

#[test]
fn files_that_no_bundle_has() {
    let no_part = |p: &Problem| matches!(p, Problem::NoPartOfIt);
    for path in [
        "data/run.exe",
        "data/photos/holiday.jpg",
        "data/photos/deeper/x.jpg",
        "data/Report.htm",
        "data/survey.json.bak",
    ] {
        bag_refused(good().clone().with(path, "x").sealed(), path, no_part);
    }
    let name = in_base("data/empty/");
    refused(
        &with(Piece::folder(&in_base("data/empty"))),
        Some(&name),
        no_part,
    );
    for path in [
        "data/findings.json",
        "data/report.html",
        "data/survey.json",
        "data/survey.schema.json",
    ] {
        bag_refused(good().clone().without(path).sealed(), path, |p| {
            matches!(p, Problem::PartMissing)
        });
    }
}

// ── what is inside ───────────────────────────────────────────────────────────────────────────────────────

#[test]
fn a_survey_that_is_none() {
    let path = "data/survey.json";
    let sealed = |bytes: Vec<u8>| good().clone().with(path, bytes).sealed();
    let text = good().text(path);
    bag_refused(sealed(b"\xff\xfe\x00{".to_vec()), path, |p| {
        matches!(p, Problem::Text(FileError::NotUtf8 { .. }))
    });
    bag_refused(
        sealed(text.as_bytes()[..text.len() / 2].to_vec()),
        path,
        |p| matches!(p, Problem::Text(FileError::NotJson { .. })),
    );
    bag_refused(sealed(b"{\"format\": \"another\"}".to_vec()), path, |p| {
        matches!(p, Problem::Text(FileError::NotASurvey { .. }))
    });
    let mut json: serde_json::Value = serde_json::from_str(&text).unwrap();
    json["spots"][0]["hall"]["length"] = "wide".into();
    let error = refusal_of(&sealed(json.to_string().into_bytes()).zip().bytes());
    let sentence = error.to_string();
    assert!(
        sentence.contains("sent.zip, data/survey.json, spots[0].hall.length: “wide”"),
        "{sentence}"
    );
    // A field out of bounds, named in the sentence.
    json["spots"][0]["hall"]["length"] = "9 ft".into();
    json["arrival"]["year_built"] = 12.into();
    let error = refusal_of(&sealed(json.to_string().into_bytes()).zip().bytes());
    let sentence = error.to_string();
    assert!(
        sentence.contains("data/survey.json, arrival.year_built: “12”"),
        "{sentence}"
    );
}

#[test]
fn findings_that_are_none_or_of_another_survey() {
    let path = "data/findings.json";
    let id = device(8, 0, (1, 1)).survey().id.to_string();
    let survey = good().text("data/survey.json");
    let own = survey.split("\"id\": \"").nth(1).unwrap()[..36].to_owned();
    assert_ne!(id, own);
    let other = |p: &Problem| matches!(p, Problem::OtherFindings);
    bag_refused(
        good().clone().replace(path, &own, &id).sealed(),
        path,
        other,
    );
    let bag = good()
        .clone()
        .replace(path, "\"revision\":1", "\"revision\":2")
        .sealed();
    bag_refused(bag, path, other);
    let field = |p: &Problem| matches!(p, Problem::Text(FileError::Field { .. }));
    let bag = good()
        .clone()
        .replace(path, "joistlight assessment", "another")
        .sealed();
    bag_refused(bag, path, field);
    let bag = good()
        .clone()
        .replace(path, "\"settled\":", "\"settled\":1")
        .sealed();
    bag_refused(bag, path, |p| matches!(p, Problem::Text(_)));
    let bag = good().clone().with(path, "not json").sealed();
    bag_refused(bag, path, |p| matches!(p, Problem::Text(_)));
}

#[test]
fn pictures_that_are_missing_or_more_or_none() {
    let path = photo(0);
    let small = thumbnail(0);
    // Named by the survey, and missing from bag and manifest alike.
    let missing = |p: &Problem| matches!(p, Problem::PictureMissing);
    bag_refused(good().clone().without(&path).sealed(), &path, missing);
    bag_refused(good().clone().without(&small).sealed(), &small, missing);
    // One that the survey does not name.
    let stray = format!("data/thumbnails/{}.jpg", "0".repeat(64));
    bag_refused(good().clone().with(&stray, "x").sealed(), &stray, |p| {
        matches!(p, Problem::PictureNotNamed)
    });
    // Bytes under another digest's name.
    let other = good().files[&photo(1)].clone();
    bag_refused(good().clone().with(&path, other).sealed(), &path, |p| {
        matches!(p, Problem::PictureName)
    });
    // No picture at all, one that carries more than pixels, one that is too large for a thumbnail.
    let picture = |p: &Problem| matches!(p, Problem::Picture(_));
    for bytes in [&b""[..], b"Dear office,", b"\xff\xd8\xff\xe0 not really"] {
        bag_refused(good().clone().with(&small, bytes).sealed(), &small, picture);
    }
    let bare = good().files[&small].clone();
    let tagged = crate::pictures::with_segments(&bare, &[(0xe1, b"Exif\0\0MM".to_vec())]);
    bag_refused(
        good().clone().with(&small, tagged).sealed(),
        &small,
        picture,
    );
    let mut trailing = bare.clone();
    trailing.extend(b"<?php");
    bag_refused(
        good().clone().with(&small, trailing).sealed(),
        &small,
        picture,
    );
    let large = device(9, 1, (700, 400));
    let sha256 = large.survey().photos[0].sha256.clone();
    let large = fs::read(large.open.photo_file(&sha256)).unwrap();
    bag_refused(good().clone().with(&small, large).sealed(), &small, picture);
    // A large picture that is none has its digest for a name, so the survey has to name it too.
    let sha256 = path
        .rsplit('/')
        .next()
        .unwrap()
        .trim_end_matches(".jpg")
        .to_owned();
    let forged = b"Dear office, this is no picture.";
    let forged_sha256 = joistlight::digest::Sha256Hex::of(forged).to_string();
    let forged_path = format!("data/photos/{forged_sha256}.jpg");
    let small_bytes = good().files[&small].clone();
    let bag = good()
        .clone()
        .without(&path)
        .without(&small)
        .with(&forged_path, &forged[..])
        .with(&format!("data/thumbnails/{forged_sha256}.jpg"), small_bytes)
        .replace("data/survey.json", &sha256, &forged_sha256)
        .sealed();
    bag_refused(bag, &forged_path, picture);
    // A size that is not the survey's.
    let bag = good()
        .clone()
        .replace("data/survey.json", "\"width\": 64", "\"width\": 65")
        .sealed();
    let error = refusal_of(&bag.zip().bytes());
    assert!(
        matches!(error.problem, Problem::PictureSize(64, 48, 65, 48)),
        "{error}"
    );
}

// ── any other damage ─────────────────────────────────────────────────────────────────────────────────────

/// Opens, verifies and unpacks; what is taken must be what was sent.
fn never_taken_wrongly(bytes: &[u8], sent: &Bundle, note: &str) -> bool {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sent.zip");
    fs::write(&path, bytes).unwrap();
    let taken = Bundle::open(&path).and_then(|mut bundle| {
        bundle.unpack(&folder.path().join("into"), Watch::default())?;
        Ok(bundle)
    });
    let mut left: Vec<_> = fs::read_dir(folder.path())
        .unwrap()
        .map(|entry| entry.unwrap().file_name())
        .collect();
    left.sort();
    match taken {
        Ok(bundle) => {
            assert_eq!(left, ["into", "sent.zip"], "{note}");
            assert_eq!(bundle.manifest_sha256(), sent.manifest_sha256(), "{note}");
            assert_eq!(bundle.survey(), sent.survey(), "{note}");
            assert_eq!(bundle.findings(), sent.findings(), "{note}");
            true
        }
        Err(error) => {
            assert_eq!(left, ["sent.zip"], "{note}: {error}");
            assert!(error.to_string().contains("sent.zip"), "{note}: {error}");
            false
        }
    }
}

#[test]
fn bundles_damaged_at_random_are_refused_or_are_what_was_sent() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sent.zip");
    let mut zip = good().zip();
    // Half of the entries deflated, so that the inflater meets rubbish too.
    zip.pieces = zip
        .pieces
        .into_iter()
        .enumerate()
        .map(|(number, piece)| match number % 2 {
            0 => piece.deflated(),
            _ => piece,
        })
        .collect();
    let whole = zip.bytes();
    fs::write(&path, &whole).unwrap();
    let sent = Bundle::open(&path).unwrap();
    // Where headers are: damage there is more telling than in the middle of a picture.
    let marks: Vec<usize> = (0..whole.len() - 4)
        .filter(|&at| whole[at] == b'P' && whole[at + 1] == b'K' && whole[at + 2] < 7)
        .collect();
    let seed = u64::from(now().unix_seconds() as u32);
    let mut dice = crate::common::Dice(seed);
    let mut taken = 0;
    for round in 0..1500 {
        let mut bytes = whole.clone();
        let some = |dice: &mut crate::common::Dice, bytes: &[u8]| match dice.chance(70) {
            true => (*dice.pick(&marks) + dice.between(0, 120) as usize).min(bytes.len() - 1),
            false => dice.between(0, bytes.len() as i64 - 1) as usize,
        };
        for _ in 0..dice.between(1, 3) {
            let at = some(&mut dice, &bytes);
            match dice.between(0, 6) {
                0 => bytes[at] ^= 1 << dice.between(0, 7),
                1 => bytes[at] = *dice.pick(&[0, 1, 0x7f, 0x80, 0xff]),
                2 => bytes.truncate(at.max(1)),
                3 => {
                    let end = (at + dice.between(1, 400) as usize).min(bytes.len());
                    bytes.drain(at..end);
                }
                4 => {
                    let from = some(&mut dice, &bytes);
                    let end = (from + dice.between(1, 400) as usize).min(bytes.len());
                    let piece = bytes[from..end].to_vec();
                    bytes.splice(at..at, piece);
                }
                5 => {
                    let end = (at + 4).min(bytes.len());
                    for byte in &mut bytes[at..end] {
                        *byte = *dice.pick(&[0, 0xff, 0x10]);
                    }
                }
                _ => bytes.splice(at..at, [0; 7]).for_each(drop),
            }
            if bytes.len() < 2 {
                break;
            }
        }
        let note = format!("seed {seed}, round {round}");
        taken += u32::from(never_taken_wrongly(&bytes, &sent, &note));
    }
    println!("{taken} of 1500 were still what was sent");
    assert!(taken < 300);
}

#[test]
fn surveys_damaged_at_random_in_a_sealed_bag_never_panic() {
    let text = good().files["data/survey.json"].clone();
    let mut dice = crate::common::Dice(3);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("sent.zip");
    let tokens: [&[u8]; 12] = [
        b"null",
        b"-1",
        b"1e999",
        b"\"\"",
        b"{}",
        b"[]",
        b"4294967296",
        b"\"-3 in\"",
        b"true",
        b"\\u0000",
        b"\"36 1/2 in\"",
        b",",
    ];
    for _ in 0..400 {
        let mut bytes = text.clone();
        for _ in 0..dice.between(1, 3) {
            let at = dice.between(0, bytes.len() as i64 - 1) as usize;
            let end = (at + dice.between(0, 12) as usize).min(bytes.len());
            bytes.splice(at..end, dice.pick(&tokens).iter().copied());
        }
        let bag = good().clone().with("data/survey.json", bytes).sealed();
        fs::write(&path, bag.zip().bytes()).unwrap();
        if let Err(error) = Bundle::open(&path).and_then(|mut b| b.verify(Watch::default())) {
            assert!(error.to_string().contains("sent.zip"), "{error}");
        }
    }
}
