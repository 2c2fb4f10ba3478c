//! The bag around a survey: its declaration, description and manifests.
//!
//! Reference: RFC 8493 (The BagIt File Packaging Format 1.0), sections 2.1 (required elements), 2.2.2
//! (bag-info.txt), 2.1.3 and 2.2.1 (manifests).

use super::problem::Problem;
use crate::digest::Sha256Hex;
use crate::survey::visible;
use std::collections::BTreeMap;
use std::fmt::Write;

/// The declaration's file.
pub(super) const DECLARATION: &str = "bagit.txt";
/// The description's file.
pub(super) const INFO: &str = "bag-info.txt";
/// The payload's manifest.
pub(super) const MANIFEST: &str = "manifest-sha256.txt";
/// The manifest of the three files above.
pub(super) const TAG_MANIFEST: &str = "tagmanifest-sha256.txt";

/// What bagit.txt holds (RFC 8493, 2.1.1).
pub(super) const DECLARATION_TEXT: &str =
    "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";

/// Digests by path; the order is that of the paths' bytes.
pub(super) type Manifest = BTreeMap<String, Sha256Hex>;

/// A manifest as text: digest, two spaces, path.
pub(super) fn manifest_text(manifest: &Manifest) -> String {
    let mut text = String::new();
    for (path, digest) in manifest {
        writeln!(text, "{digest}  {path}").expect("a string takes all");
    }
    text
}

/// Reads a manifest. Paths need no decoding: none of ours has a line end or a percent sign (RFC 8493, 2.1.3).
pub(super) fn read_manifest(bytes: &[u8]) -> Result<Manifest, Problem> {
    let mut manifest = Manifest::new();
    for (line, text) in lines(bytes) {
        let text = text?;
        let refuse = || Problem::ManifestLine { line };
        // The RFC allows any white space between the two and a star before the path, which we never write.
        let (digest, path) = text.split_once("  ").ok_or_else(refuse)?;
        let digest: Sha256Hex = digest.parse().map_err(|_| refuse())?;
        if path.is_empty() || path.starts_with([' ', '*']) {
            return Err(refuse());
        }
        if manifest.insert(path.to_owned(), digest).is_some() {
            let path = visible(path);
            return Err(Problem::ManifestTwice { line, path });
        }
    }
    Ok(manifest)
}

/// The lines of a tag file, counted from one, without their ends.
fn lines(bytes: &[u8]) -> impl Iterator<Item = (usize, Result<&str, Problem>)> {
    let bytes = bytes.strip_suffix(b"\n").unwrap_or(bytes);
    let empty = bytes.is_empty();
    bytes
        .split(|byte| *byte == b'\n')
        .enumerate()
        .filter(move |_| !empty)
        .map(|(number, line)| {
            let line = line.strip_suffix(b"\r").unwrap_or(line);
            let text = std::str::from_utf8(line);
            (
                number + 1,
                text.map_err(|_| Problem::NotUtf8 { line: number + 1 }),
            )
        })
}

/// Whether bagit.txt says what it should; line ends may be those of any system.
pub(super) fn is_declaration(bytes: &[u8]) -> bool {
    let said: Option<Vec<&str>> = lines(bytes).map(|(_, text)| text.ok()).collect();
    said.is_some_and(|said| said.iter().copied().eq(DECLARATION_TEXT.lines()))
}

/// What bag-info.txt says of a bundle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Info {
    /// The day on which the survey was last changed, `YYYY-MM-DD`.
    pub date: String,
    /// The program and its version.
    pub program: String,
    /// The survey's name as a URN.
    pub survey: String,
    /// Bytes and files of the payload.
    pub oxum: String,
    /// The survey's revision.
    pub revision: u32,
    /// The bundle's version.
    pub version: u64,
}

const DATE: &str = "Bagging-Date";
const PROGRAM: &str = "Bag-Software-Agent";
const SURVEY: &str = "External-Identifier";
const OXUM: &str = "Payload-Oxum";
/// Ours: the revision of the survey.
pub(super) const REVISION: &str = "Joistlight-Survey-Revision";
/// Ours: the version of what is inside.
const VERSION: &str = "Joistlight-Bundle-Version";
/// The survey's name.
pub(super) const IDENTIFIER: &str = SURVEY;

/// bag-info.txt as text.
pub(super) fn info_text(info: &Info) -> String {
    let Info {
        date,
        program,
        survey,
        oxum,
        revision,
        version,
    } = info;
    format!(
        "Bag-Software-Agent: {program}\nBagging-Date: {date}\nExternal-Identifier: {survey}\n\
         Payload-Oxum: {oxum}\n{REVISION}: {revision}\n{VERSION}: {version}\n"
    )
}

/// Reads bag-info.txt. Other labels are passed over, as are lines that carry on a value (RFC 8493, 2.2.2).
pub(super) fn read_info(bytes: &[u8]) -> Result<Info, Problem> {
    let mut said: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (_, text) in lines(bytes) {
        let text = text?;
        if text.starts_with([' ', '\t']) {
            continue;
        }
        if let Some((label, value)) = text.split_once(':') {
            said.entry(label).or_default().push(value.trim());
        }
    }
    let once = |label: &'static str| match said.get(label).map(Vec::as_slice) {
        Some([value]) if !value.is_empty() => Ok(*value),
        _ => Err(Problem::BagInfo(label)),
    };
    let count = |label: &'static str| {
        let value = once(label)?;
        let plain = value.bytes().all(|byte| byte.is_ascii_digit());
        let number = value.parse::<u64>().ok().filter(|_| plain);
        number.ok_or(Problem::BagInfo(label))
    };
    // The version first: a later one may have other labels.
    let version = count(VERSION)?;
    if version > u64::from(super::VERSION) {
        let known = super::VERSION;
        return Err(Problem::NewerBundle { version, known });
    }
    if version == 0 {
        return Err(Problem::BagInfo(VERSION));
    }
    let revision = u32::try_from(count(REVISION)?).map_err(|_| Problem::BagInfo(REVISION))?;
    Ok(Info {
        date: once(DATE)?.to_owned(),
        program: once(PROGRAM)?.to_owned(),
        survey: once(SURVEY)?.to_owned(),
        oxum: once(OXUM)?.to_owned(),
        revision,
        version,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_manifest_reads_as_it_was_written() {
        let manifest: Manifest = [("data/b", "b"), ("data/a", "a")]
            .map(|(path, text)| (path.to_owned(), Sha256Hex::of(text.as_bytes())))
            .into();
        let text = manifest_text(&manifest);
        assert_eq!(read_manifest(text.as_bytes()).unwrap(), manifest);
        let dos = text.replace('\n', "\r\n");
        assert_eq!(read_manifest(dos.as_bytes()).unwrap(), manifest);
        assert!(read_manifest(b"").unwrap().is_empty());
    }

    #[test]
    fn a_bad_line_is_named() {
        let digest = Sha256Hex::of(b"a");
        for (text, line) in [
            (format!("{digest} data/a\n"), 1),
            (format!("{digest}  data/a\n\n"), 2),
            (format!("{digest}  \n"), 1),
            (format!("{digest}  *data/a\n"), 1),
            (
                format!("{}  data/a\n", digest.to_string().to_uppercase()),
                1,
            ),
            ("d41d8cd98f00b204e9800998ecf8427e  data/a\n".to_owned(), 1),
        ] {
            let error = read_manifest(text.as_bytes()).unwrap_err();
            assert!(
                matches!(error, Problem::ManifestLine { line: at } if at == line),
                "{text}: {error}"
            );
        }
        let twice = format!("{digest}  data/a\n{digest}  data/a\n");
        let error = read_manifest(twice.as_bytes()).unwrap_err();
        assert!(matches!(error, Problem::ManifestTwice { line: 2, .. }));
        let error = read_manifest(b"ok\n\xff\n").unwrap_err();
        assert!(matches!(error, Problem::ManifestLine { line: 1 }));
        let error = read_manifest(format!("{digest}  a\n\u{fffd}").as_bytes());
        assert!(matches!(error, Err(Problem::ManifestLine { line: 2 })));
        let mut bytes = format!("{digest}  a\n").into_bytes();
        bytes.push(0xff);
        assert!(matches!(
            read_manifest(&bytes),
            Err(Problem::NotUtf8 { line: 2 })
        ));
    }

    #[test]
    fn a_description_reads_as_it_was_written() {
        let info = Info {
            date: "2026-05-03".into(),
            program: "joistlight 0.1.0".into(),
            survey: "urn:uuid:00000000-0000-0000-0000-000000000000".into(),
            oxum: "12.3".into(),
            revision: 4,
            version: 1,
        };
        let text = info_text(&info);
        assert_eq!(read_info(text.as_bytes()).unwrap(), info);
        let more = format!("Contact-Name: A: B\n of the office\n{text}");
        assert_eq!(read_info(more.as_bytes()).unwrap(), info);
        let twice = format!("{text}Payload-Oxum: 1.1\n");
        assert!(matches!(
            read_info(twice.as_bytes()),
            Err(Problem::BagInfo("Payload-Oxum"))
        ));
        let newer = text.replace("Version: 1", "Version: 9");
        assert!(matches!(
            read_info(newer.as_bytes()),
            Err(Problem::NewerBundle { version: 9, .. })
        ));
        for bad in ["Version: 0", "Version: one", "Version: +1", "Version:"] {
            let bad = text.replace("Version: 1", bad);
            assert!(matches!(
                read_info(bad.as_bytes()),
                Err(Problem::BagInfo("Joistlight-Bundle-Version"))
            ));
        }
    }

    #[test]
    fn only_the_declaration_of_rfc_8493_is_one() {
        assert!(is_declaration(DECLARATION_TEXT.as_bytes()));
        assert!(is_declaration(
            DECLARATION_TEXT.replace('\n', "\r\n").as_bytes()
        ));
        for bad in [
            "",
            "BagIt-Version: 1.0\n",
            "BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n",
            "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-16\n",
            "\u{feff}BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
            "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n\nx",
        ] {
            assert!(!is_declaration(bad.as_bytes()), "{bad:?}");
        }
    }
}
