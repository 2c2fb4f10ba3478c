//! What is promised of a picture that is taken in, and of every file that is not.

use std::alloc::{GlobalAlloc, Layout, System};
use std::cell::Cell;
use std::path::{Path, PathBuf};

use image::{DynamicImage, Luma, Rgb, RgbImage, Rgba};
use joistlight::digest::Sha256Hex;
use joistlight::photo::{self, PhotoError, Problem, Taken, check, take_in, take_in_bytes};
use jpeg_encoder::{ColorType, Encoder, SamplingFactor};
use proptest::prelude::*;

use crate::pictures::{Value, psnr, with_segments};

// ---- memory, counted for each thread, because tests run side by side -----------------------

struct Counting;

thread_local! {
    static HELD: Cell<usize> = const { Cell::new(0) };
    static PEAK: Cell<usize> = const { Cell::new(0) };
}

// SAFETY: every call is passed on to the system's allocator unchanged.
unsafe impl GlobalAlloc for Counting {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        let held = HELD.get().saturating_add(layout.size());
        HELD.set(held);
        PEAK.set(PEAK.get().max(held));
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, pointer: *mut u8, layout: Layout) {
        HELD.set(HELD.get().saturating_sub(layout.size()));
        unsafe { System.dealloc(pointer, layout) }
    }
}

#[global_allocator]
static ALLOCATOR: Counting = Counting;

/// The result of `work`, and the most bytes that it held at once.
fn peak_of<T>(work: impl FnOnce() -> T) -> (T, usize) {
    let before = HELD.get();
    PEAK.set(before);
    let result = work();
    (result, PEAK.get() - before)
}

// ---- reading what came out, without the code under test ------------------------------------

/// The markers of a JPEG from SOI to EOI with their bodies, and what follows EOI.
fn markers(jpeg: &[u8]) -> (Vec<(u8, Vec<u8>)>, usize) {
    assert_eq!(jpeg[..2], [0xff, 0xd8], "starts with SOI");
    let mut found = Vec::new();
    let mut at = 2;
    loop {
        assert_eq!(jpeg[at], 0xff, "a marker is expected at {at}");
        let marker = jpeg[at + 1];
        if marker == 0xd9 {
            return (found, jpeg.len() - at - 2);
        }
        let length = usize::from(jpeg[at + 2]) << 8 | usize::from(jpeg[at + 3]);
        found.push((marker, jpeg[at + 4..at + 2 + length].to_vec()));
        at += 2 + length;
        let in_data = |at: usize| jpeg[at] != 0xff || matches!(jpeg[at + 1], 0 | 0xd0..=0xd7);
        while marker == 0xda && in_data(at) {
            at += 1;
        }
    }
}

/// Decoded by a second decoder that shares no code with the one that is used for taking in.
fn decoded(jpeg: &[u8]) -> RgbImage {
    let mut decoder = jpeg_decoder::Decoder::new(jpeg);
    let samples = decoder.decode().expect("a readable JPEG");
    let info = decoder.info().unwrap();
    let (width, height) = (info.width.into(), info.height.into());
    match info.pixel_format {
        jpeg_decoder::PixelFormat::RGB24 => RgbImage::from_raw(width, height, samples).unwrap(),
        jpeg_decoder::PixelFormat::L8 => {
            let grey = image::GrayImage::from_raw(width, height, samples).unwrap();
            DynamicImage::ImageLuma8(grey).into_rgb8()
        }
        other => panic!("{other:?} is not expected"),
    }
}

fn taken(bytes: &[u8]) -> Taken {
    take_in_bytes(bytes, "made.jpg").unwrap()
}

fn refused(bytes: &[u8]) -> PhotoError {
    let error = take_in_bytes(bytes, "the label").expect_err("it must be refused");
    let sentence = error.to_string();
    assert!(sentence.starts_with("the label: "), "{sentence}");
    assert!(sentence.len() > 40, "says what to do: {sentence}");
    error
}

/// Four different corners, a bar along one side: no turn or mirroring leaves it as it was.
fn card(width: u32, height: u32) -> RgbImage {
    RgbImage::from_fn(width, height, |x, y| {
        match (x * 4 / width, y * 4 / height) {
            (0, 0) => Rgb([200, 40, 40]),
            (3, 0) => Rgb([40, 180, 60]),
            (0, 3) => Rgb([40, 60, 200]),
            (3, 3) => Rgb([230, 220, 60]),
            (_, 0) => Rgb([20, 20, 20]),
            _ => Rgb([
                (60 + x * 120 / width) as u8,
                (60 + y * 120 / height) as u8,
                128,
            ]),
        }
    })
}

/// How a camera with this EXIF orientation would have stored `upright`: CIPA DC-008 (EXIF 2.32),
/// tag 0x0112, which names the side that the stored row 0 and column 0 show.
fn stored(upright: &RgbImage, orientation: u16) -> RgbImage {
    let (w, h) = upright.dimensions();
    let (stored_w, stored_h) = if orientation >= 5 { (h, w) } else { (w, h) };
    RgbImage::from_fn(stored_w, stored_h, |x, y| {
        let (x, y) = match orientation {
            1 => (x, y),                 // row 0 top, column 0 left
            2 => (w - 1 - x, y),         // top, right
            3 => (w - 1 - x, h - 1 - y), // bottom, right
            4 => (x, h - 1 - y),         // bottom, left
            5 => (y, x),                 // left, top
            6 => (w - 1 - y, x),         // right, top
            7 => (w - 1 - y, h - 1 - x), // right, bottom
            8 => (y, h - 1 - x),         // left, bottom
            _ => unreachable!(),
        };
        *upright.get_pixel(x, y)
    })
}

// ---- upright ---------------------------------------------------------------------------------

#[test]
fn all_eight_orientations_come_out_upright() {
    let upright = card(640, 416);
    for orientation in 1..=8 {
        let lying = crate::pictures::jpeg(&stored(&upright, orientation), 95);
        let exif = crate::pictures::orientation(orientation);
        let taken = taken(&with_segments(&lying, &[(0xe1, exif)]));
        assert_eq!(
            (taken.width, taken.height),
            (640, 416),
            "orientation {orientation}"
        );
        // A wrong turn or mirroring brings this card below 15 dB.
        let likeness = psnr(&decoded(&taken.jpeg), &upright);
        assert!(likeness > 30.0, "orientation {orientation}: {likeness} dB");
        let small = decoded(&taken.thumbnail);
        assert_eq!(small.dimensions(), (320, 208), "orientation {orientation}");
        assert!(small.get_pixel(10, 10)[0] > 150, "red is at the top left");
        assert!(
            small.get_pixel(10, 200)[2] > 150,
            "blue is at the bottom left"
        );
    }
}

#[test]
fn a_wrong_turn_would_be_noticed() {
    let upright = card(400, 400);
    for orientation in 2..=8 {
        assert!(psnr(&stored(&upright, orientation), &upright) < 15.0);
    }
}

#[test]
fn an_orientation_in_a_png_counts_too_and_nonsense_counts_for_none() {
    let upright = card(320, 200);
    let lying = png_with_exif(&stored(&upright, 6), &[(0x0112, 6)]);
    let turned = taken(&lying);
    assert_eq!((turned.width, turned.height), (320, 200));
    assert!(psnr(&decoded(&turned.jpeg), &upright) > 25.0);

    let nonsense = with_segments(
        &crate::pictures::jpeg(&upright, 95),
        &[(0xe1, crate::pictures::orientation(77))],
    );
    assert!(psnr(&decoded(&taken(&nonsense).jpeg), &upright) > 25.0);
}

fn png_with_exif(picture: &RgbImage, shorts: &[(u16, u16)]) -> Vec<u8> {
    let entries = shorts
        .iter()
        .map(|(tag, value)| (*tag, Value::Short(*value)));
    let mut info = png::Info::with_size(picture.width(), picture.height());
    info.color_type = png::ColorType::Rgb;
    info.bit_depth = png::BitDepth::Eight;
    info.exif_metadata = Some(crate::pictures::exif_tiff(entries.collect(), None).into());
    let mut bytes = Vec::new();
    let mut writer = png::Encoder::with_info(&mut bytes, info)
        .unwrap()
        .write_header()
        .unwrap();
    writer.write_image_data(picture).unwrap();
    writer.finish().unwrap();
    bytes
}

// ---- bare ------------------------------------------------------------------------------------

const SECRET: &str = "SECRET-PLACE";

/// Everything that a camera or an editor may put beside the pixels, each part with a word in it
/// that must not come out.
fn talkative() -> Vec<u8> {
    let inner = crate::pictures::jpeg(&card(160, 104), 80);
    let gps = Value::Directory(vec![
        (0x0000, Value::Byte(vec![2, 3, 0, 0])),
        (0x0001, Value::Ascii("N")),
        (0x0002, Value::Rational(vec![(11, 1), (22, 1), (3333, 100)])),
        (0x0003, Value::Ascii("E")),
        (0x0004, Value::Rational(vec![(44, 1), (55, 1), (6666, 100)])),
        (0x001b, Value::Ascii(SECRET)),
    ]);
    let exif = crate::pictures::exif(
        vec![
            (0x010e, Value::Ascii(SECRET)),
            (0x0112, Value::Short(1)),
            (
                0x8769,
                Value::Directory(vec![(0x9003, Value::Ascii("2026:07:01 18:05:09"))]),
            ),
            (0x8825, gps),
        ],
        Some(&inner),
    );
    let text = |start: &[u8]| [start, SECRET.as_bytes()].concat();
    with_segments(
        &crate::pictures::jpeg(&card(640, 416), 90),
        &[
            (0xe1, exif),
            (0xe1, text(b"http://ns.adobe.com/xap/1.0/\0")),
            (0xe2, text(b"ICC_PROFILE\0\x01\x01")),
            (0xed, text(b"Photoshop 3.0\x008BIM\x04\x04\0\0\0\0\0\x0c")),
            (0xe5, text(b"maker")),
            (0xfe, SECRET.into()),
        ],
    )
}

fn assert_bare(jpeg: &[u8]) {
    let (segments, trailing) = markers(jpeg);
    assert_eq!(trailing, 0, "nothing follows the picture");
    for (marker, body) in &segments {
        match marker {
            // Tables, frame, scan: what pixels need.
            0xc0 | 0xc4 | 0xda | 0xdb => {}
            0xe0 => assert!(
                body.len() == 14 && body.starts_with(b"JFIF\0") && body.ends_with(&[0, 0]),
                "the JFIF header has no thumbnail"
            ),
            other => panic!("a segment marked {other:02x} came out"),
        }
    }
    for word in [
        &b"Exif"[..],
        b"http",
        b"ICC_",
        b"8BIM",
        b"JFXX",
        SECRET.as_bytes(),
    ] {
        assert!(
            !jpeg.windows(word.len()).any(|window| window == word),
            "{word:?} came out"
        );
    }
}

#[test]
fn no_position_and_no_other_metadata_come_out() {
    let source = talkative();
    assert!(
        source
            .windows(SECRET.len())
            .filter(|w| *w == SECRET.as_bytes())
            .count()
            >= 6
    );
    let taken = taken(&source);
    assert_bare(&taken.jpeg);
    assert_bare(&taken.thumbnail);
    assert_eq!(taken.taken_at.unwrap().to_string(), "2026-07-01T18:05:09");
    assert_eq!(check(&taken.jpeg, "stored").unwrap(), (640, 416));
    assert_eq!(check(&taken.thumbnail, "stored").unwrap(), (320, 208));
}

#[test]
fn the_digests_are_those_of_the_produced_files() {
    let taken = taken(&talkative());
    assert_eq!(taken.sha256, Sha256Hex::of(&taken.jpeg));
    assert_eq!(taken.thumbnail_sha256, Sha256Hex::of(&taken.thumbnail));
}

#[test]
fn the_time_taken_is_returned_with_its_offset_or_not_at_all() {
    let at = |original: Option<&'static str>, offset: Option<&'static str>| {
        let dates = [(0x9003, original), (0x9011, offset)];
        let entries = dates
            .into_iter()
            .filter_map(|(tag, text)| Some((tag, Value::Ascii(text?))));
        let exif = crate::pictures::exif(
            vec![
                // The time of the last change, which is another thing.
                (0x0132, Value::Ascii("1999:01:01 00:00:00")),
                (0x8769, Value::Directory(entries.collect())),
            ],
            None,
        );
        let source = with_segments(&crate::pictures::jpeg(&card(64, 48), 80), &[(0xe1, exif)]);
        taken(&source).taken_at.map(|at| at.to_string())
    };
    let noted = Some("2026:07:01 18:05:09");
    assert_eq!(
        at(noted, Some("-05:00")).unwrap(),
        "2026-07-01T18:05:09-05:00"
    );
    assert_eq!(
        at(noted, Some("+09:30")).unwrap(),
        "2026-07-01T18:05:09+09:30"
    );
    assert_eq!(at(noted, None).unwrap(), "2026-07-01T18:05:09");
    assert_eq!(at(noted, Some("   :  ")).unwrap(), "2026-07-01T18:05:09");
    for unset in [
        "0000:00:00 00:00:00",
        "    :  :     :  :  ",
        "2026:13:45 18:05:09",
        "",
    ] {
        assert_eq!(at(Some(unset), None), None, "{unset:?}");
    }
    assert_eq!(at(None, None), None);
}

// ---- sized -----------------------------------------------------------------------------------

#[test]
fn the_long_edge_is_held_and_nothing_is_enlarged() {
    for (from, to, small) in [
        ((3000, 1000), (2048, 683), (320, 107)),
        ((1000, 3000), (683, 2048), (107, 320)),
        ((2049, 2049), (2048, 2048), (320, 320)),
        ((2048, 700), (2048, 700), (320, 109)),
        ((321, 200), (321, 200), (320, 199)),
        ((100, 50), (100, 50), (100, 50)),
        ((1, 1), (1, 1), (1, 1)),
        ((5000, 1), (2048, 1), (320, 1)),
    ] {
        let picture = RgbImage::from_pixel(from.0, from.1, Rgb([120, 140, 90]));
        let taken = taken(&crate::pictures::jpeg(&picture, 90));
        assert_eq!((taken.width, taken.height), to, "{from:?}");
        assert_eq!(decoded(&taken.jpeg).dimensions(), to, "{from:?}");
        assert_eq!(decoded(&taken.thumbnail).dimensions(), small, "{from:?}");
    }
}

/// Measured against the `image` crate's Lanczos scaling, which shares no code with the scaler that
/// is used, written by the `image` crate's own JPEG encoder at the same quality and then read
/// back. What is produced may lose at most 1 dB more than that: its colours have half the
/// resolution each way, where the other encoder keeps them whole.
#[test]
fn scaling_is_as_good_as_a_reference() {
    let original = crate::pictures::attic(3000, 2000);
    let mut source = Vec::new();
    DynamicImage::ImageRgb8(original.clone())
        .write_to(
            &mut std::io::Cursor::new(&mut source),
            image::ImageFormat::Png,
        )
        .unwrap();
    let taken = taken(&source);
    let reference = image::imageops::resize(
        &original,
        taken.width,
        taken.height,
        image::imageops::FilterType::Lanczos3,
    );
    let mut by_reference = Vec::new();
    image::codecs::jpeg::JpegEncoder::new_with_quality(&mut by_reference, 85)
        .encode_image(&reference)
        .unwrap();
    let ours = psnr(&decoded(&taken.jpeg), &reference);
    let theirs = psnr(&decoded(&by_reference), &reference);
    println!("{ours:.2} dB, the reference {theirs:.2} dB");
    assert!(ours > theirs - 1.0, "{ours} dB, the reference {theirs} dB");
    assert!(ours > 35.0, "{ours} dB");
}

// ---- colours and kinds of file -----------------------------------------------------------------

#[test]
fn every_common_kind_of_jpeg_keeps_its_picture() {
    let picture = crate::pictures::attic(603, 405);
    let kinds: [(&str, SamplingFactor, bool); 7] = [
        ("4:4:4", SamplingFactor::F_1_1, false),
        ("4:2:2", SamplingFactor::F_2_1, false),
        ("4:4:0", SamplingFactor::F_1_2, false),
        ("4:2:0", SamplingFactor::F_2_2, false),
        ("4:4:4 progressive", SamplingFactor::F_1_1, true),
        ("4:2:2 progressive", SamplingFactor::F_2_1, true),
        ("4:2:0 progressive", SamplingFactor::F_2_2, true),
    ];
    for (name, sampling, progressive) in kinds {
        let source = crate::pictures::jpeg_by(&picture, 92, |encoder| {
            encoder.set_sampling_factor(sampling);
            encoder.set_progressive(progressive);
        });
        let likeness = psnr(&decoded(&taken(&source).jpeg), &decoded(&source));
        assert!(likeness > 36.0, "{name}: {likeness} dB");
    }

    let source = crate::pictures::jpeg_by(&picture, 92, |encoder| encoder.set_restart_interval(7));
    let likeness = psnr(&decoded(&taken(&source).jpeg), &decoded(&source));
    assert!(likeness > 36.0, "restart markers: {likeness} dB");

    // Red, green and blue stored as they are: T.872 §6.5.3 marks that by APP14 in place of JFIF.
    let ycc = crate::pictures::jpeg_by(&picture, 92, |_| {});
    let without_jfif = [&ycc[..2], &ycc[20..]].concat();
    let direct = (0xee, b"Adobe\0\x64\0\0\0\0\0".to_vec());
    let source = with_segments(&without_jfif, &[direct]);
    let likeness = psnr(&decoded(&taken(&source).jpeg), &decoded(&source));
    assert!(likeness > 28.0, "stored as RGB: {likeness} dB");

    let grey = DynamicImage::ImageRgb8(picture.clone()).into_luma8();
    let mut source = Vec::new();
    Encoder::new(&mut source, 92)
        .encode(&grey, 603, 405, ColorType::Luma)
        .unwrap();
    let likeness = psnr(&decoded(&taken(&source).jpeg), &decoded(&source));
    assert!(likeness > 36.0, "grey: {likeness} dB");
}

#[test]
fn uncommon_jpegs_are_refused_by_name() {
    let picture = card(160, 104);
    let separate = crate::pictures::jpeg_by(&picture, 92, |encoder| {
        encoder.set_sampling_factor(SamplingFactor::F_2_2);
        encoder.set_optimized_huffman_tables(true);
    });
    assert_eq!(
        markers(&separate)
            .0
            .iter()
            .filter(|(m, _)| *m == 0xda)
            .count(),
        3
    );
    assert!(matches!(
        refused(&separate).problem,
        Problem::UncommonJpeg(_)
    ));

    let mut inks = Vec::new();
    Encoder::new(&mut inks, 90)
        .encode(&vec![90; 64 * 64 * 4], 64, 64, ColorType::Cmyk)
        .unwrap();
    assert!(matches!(refused(&inks).problem, Problem::Cmyk));

    let plain = crate::pictures::jpeg(&picture, 90);
    let frame = plain.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    let with = |at: usize, value: u8| {
        let mut changed = plain.clone();
        changed[frame + at] = value;
        refused(&changed).problem
    };
    for (marker, name) in [
        (0xc3, "lossless"),
        (0xc9, "arithmetic coding"),
        (0xc5, "hierarchical"),
    ] {
        let problem = with(1, marker);
        assert!(
            matches!(problem, Problem::UncommonJpeg(said) if said == name),
            "{problem:?}"
        );
    }
    assert!(matches!(with(4, 12), Problem::UncommonJpeg(_)), "12 bits");
    assert!(
        matches!(with(9, 2), Problem::UncommonJpeg(_)),
        "two colours"
    );
    assert!(
        matches!(with(14, 0x21), Problem::UncommonJpeg(_)),
        "odd resolutions"
    );
}

fn png_of(picture: DynamicImage) -> Vec<u8> {
    let mut bytes = Vec::new();
    picture
        .write_to(
            &mut std::io::Cursor::new(&mut bytes),
            image::ImageFormat::Png,
        )
        .unwrap();
    bytes
}

#[test]
fn every_kind_of_png_is_read() {
    let near = |bytes: &[u8], expected: [u8; 3], name: &str| {
        let out = decoded(&taken(bytes).jpeg);
        assert_eq!(out.dimensions(), (48, 32), "{name}");
        for (got, want) in out.get_pixel(20, 16).0.iter().zip(expected) {
            assert!(
                got.abs_diff(want) <= 3,
                "{name}: {:?}",
                out.get_pixel(20, 16)
            );
        }
    };
    let rgb = image::ImageBuffer::from_pixel(48, 32, Rgb([200u8, 100, 50]));
    near(&png_of(rgb.into()), [200, 100, 50], "8-bit RGB");
    let deep = image::ImageBuffer::from_pixel(48, 32, Rgb([200u16 * 257, 100 * 257, 50 * 257]));
    near(&png_of(deep.into()), [200, 100, 50], "16-bit RGB");
    let grey = image::ImageBuffer::from_pixel(48, 32, Luma([77u8]));
    near(&png_of(grey.into()), [77, 77, 77], "8-bit grey");
    let deep_grey = image::ImageBuffer::from_pixel(48, 32, Luma([77u16 * 257]));
    near(&png_of(deep_grey.into()), [77, 77, 77], "16-bit grey");
    // Half transparent on white: 200/2 + 255/2 and so on.
    let half = image::ImageBuffer::from_pixel(48, 32, Rgba([200u8, 100, 50, 128]));
    near(&png_of(half.into()), [227, 177, 152], "half transparent");
    let clear = image::ImageBuffer::from_pixel(48, 32, Rgba([0u16, 0, 0, 0]));
    near(&png_of(clear.into()), [255, 255, 255], "16-bit transparent");

    let mut palette = Vec::new();
    let mut encoder = png::Encoder::new(&mut palette, 48, 32);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Two);
    encoder.set_palette(vec![0, 0, 0, 10, 20, 30, 200, 100, 50]);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&[0b10_10_10_10; 12 * 32]).unwrap();
    writer.finish().unwrap();
    near(&palette, [200, 100, 50], "palette of 2 bits");
}

/// The expected value is computed here from the published definitions (CSS Color Module Level 4,
/// §10 “Predefined Color Spaces”): both spaces have the white point D65 and the curve of
/// IEC 61966-2-1, so the way between them is one matrix on linear light, got from the primaries
/// (0.680, 0.320), (0.265, 0.690), (0.150, 0.060) and (0.64, 0.33), (0.30, 0.60), (0.15, 0.06).
#[test]
fn a_wide_colour_profile_is_applied() {
    let p3 = [200u8, 120, 60];
    let linear = p3.map(|v| {
        let v = f64::from(v) / 255.0;
        if v <= 0.04045 {
            v / 12.92
        } else {
            ((v + 0.055) / 1.055).powf(2.4)
        }
    });
    let to_srgb = [
        [1.2249402, -0.2249402, 0.0],
        [-0.0420570, 1.0420570, 0.0],
        [-0.0196376, -0.0786360, 1.0982736],
    ];
    let expected = to_srgb.map(|row: [f64; 3]| {
        let v: f64 = row.iter().zip(linear).map(|(m, v)| m * v).sum();
        let v = if v <= 0.0031308 {
            v * 12.92
        } else {
            1.055 * v.powf(1.0 / 2.4) - 0.055
        };
        (v * 255.0).round() as i32
    });
    assert!(
        expected[0] - 200 > 8,
        "the two spaces differ enough to see: {expected:?}"
    );

    let profile = moxcms::ColorProfile::new_display_p3().encode().unwrap();
    let icc = [b"ICC_PROFILE\0\x01\x01".to_vec(), profile].concat();
    let flat = crate::pictures::jpeg(&RgbImage::from_pixel(64, 64, Rgb(p3)), 98);
    let pixel = |source: &[u8]| decoded(&taken(source).jpeg).get_pixel(30, 30).0;
    for (got, want) in pixel(&with_segments(&flat, &[(0xe2, icc)]))
        .iter()
        .zip(expected)
    {
        assert!((i32::from(*got) - want).abs() <= 3, "{got} for {want}");
    }
    for (got, want) in pixel(&flat).iter().zip(p3) {
        assert!(
            got.abs_diff(want) <= 3,
            "without a profile the values stand"
        );
    }
}

// ---- the same again, and the original ----------------------------------------------------------

#[test]
fn the_same_bytes_give_the_same_bytes() {
    let source = crate::pictures::jpeg(&crate::pictures::attic(2500, 1500), 90);
    let first = taken(&source);
    let elsewhere = std::thread::scope(|scope| scope.spawn(|| taken(&source)).join().unwrap());
    assert_eq!(first, elsewhere);
}

#[test]
fn the_original_is_left_alone_whatever_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("no picture at all.txt");
    std::fs::write(&path, talkative()).unwrap();
    let mut permissions = std::fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&path, permissions).unwrap();
    let changed = std::fs::metadata(&path).unwrap().modified().unwrap();

    assert_eq!(take_in(&path).unwrap(), taken(&talkative()));

    assert_eq!(std::fs::read(&path).unwrap(), talkative());
    assert_eq!(
        std::fs::metadata(&path).unwrap().modified().unwrap(),
        changed
    );
    assert_eq!(
        std::fs::read_dir(folder.path()).unwrap().count(),
        1,
        "nothing lies beside it"
    );
}

// ---- refused ---------------------------------------------------------------------------------

#[test]
fn what_is_no_jpeg_or_png_is_refused_by_name() {
    let ftyp = |brands: &[u8]| {
        let length = (8 + brands.len()) as u32;
        [
            &length.to_be_bytes()[..],
            b"ftyp",
            brands,
            b"\0\0\0\x08free rest of the file",
        ]
        .concat()
    };
    macro_rules! is {
        ($bytes:expr, $problem:pat) => {
            let problem = refused(&$bytes[..]).problem;
            assert!(matches!(problem, $problem), "{problem:?}");
        };
    }
    is!(b"", Problem::Empty);
    is!(
        b"Measured by hand, see the note.\n",
        Problem::NotAPicture("a text file")
    );
    is!(
        "héhé ".repeat(400).as_bytes(),
        Problem::NotAPicture("a text file")
    );
    is!(ftyp(b"heic\0\0\0\0mif1heic"), Problem::Heic);
    is!(ftyp(b"mif1\0\0\0\0mif1heic"), Problem::Heic);
    is!(ftyp(b"mif1\0\0\0\0mif1avif"), Problem::Avif);
    is!(ftyp(b"avif\0\0\0\0avifmif1"), Problem::Avif);
    is!(
        ftyp(b"isom\0\0\x02\0isommp41"),
        Problem::NotAPicture("a video or sound recording")
    );
    is!(ftyp(b"crx \0\0\0\x01crx isom"), Problem::Raw);
    is!(b"II*\0\x10\0\0\0CR\x02\0", Problem::Raw);
    is!(
        b"II*\0\x08\0\0\0\x01\0",
        Problem::OtherPicture("TIFF or raw")
    );
    is!(
        b"MM\0*\0\0\0\x08\0\x01",
        Problem::OtherPicture("TIFF or raw")
    );
    is!(b"RIFF\x10\0\0\0WEBPVP8 ", Problem::OtherPicture("WebP"));
    is!(b"RIFF\x10\0\0\0AVI LIST", Problem::NotAPicture("a video"));
    is!(b"GIF89a\x01\0\x01\0", Problem::OtherPicture("GIF"));
    is!(
        b"BM\x46\0\0\0\0\0\0\0\x36\0\0\0",
        Problem::OtherPicture("BMP")
    );
    is!(b"\xff\x0a\0\0", Problem::OtherPicture("JPEG XL"));
    is!(
        b"\0\0\0\x0cJXL \r\n\x87\n",
        Problem::OtherPicture("JPEG XL")
    );
    is!(
        b"\0\0\0\x0cjP  \r\n\x87\n",
        Problem::OtherPicture("JPEG 2000")
    );
    is!(
        b"%PDF-1.7\n%\xe2\xe3\xcf\xd3",
        Problem::NotAPicture("a PDF document")
    );
    is!(b"PK\x03\x04\x14\0", Problem::NotAPicture("a ZIP archive"));
    is!(b"\x01\x02\x03\x04\x05", Problem::Unknown);
}

#[test]
fn the_sentence_tells_what_to_do() {
    let heic = refused(b"\0\0\0\x18ftypheic\0\0\0\0mif1heic").to_string();
    assert!(heic.contains("Set the camera to write JPEG"), "{heic}");
    let empty = refused(b"").to_string();
    assert!(empty.contains("Take the picture again"), "{empty}");
}

#[test]
fn a_file_that_stops_early_is_refused_wherever_it_stops() {
    for (name, whole) in [
        ("JPEG", talkative()),
        (
            "progressive JPEG",
            crate::pictures::jpeg_by(&card(160, 104), 90, |e| e.set_progressive(true)),
        ),
        ("PNG", png_with_exif(&card(160, 104), &[(0x0112, 1)])),
    ] {
        assert!(take_in_bytes(&whole, "whole").is_ok(), "{name}");
        for end in (1..whole.len()).step_by(7).chain([whole.len() - 1]) {
            let problem = refused(&whole[..end]).problem;
            assert!(
                matches!(problem, Problem::Truncated),
                "{name} cut at {end}: {problem:?}"
            );
        }
    }
}

#[test]
fn damage_that_shows_in_the_data_is_refused_not_painted_over() {
    let whole = crate::pictures::jpeg(&crate::pictures::attic(600, 400), 90);
    let scan = whole.windows(2).position(|w| w == [0xff, 0xda]).unwrap() + 14;
    let middle = scan + (whole.len() - scan) / 2;
    let mut spoiled = whole.clone();
    // T.81 Annex C: no code consists of ones alone. (`ff 00` stands for a byte of eight ones.)
    spoiled[middle..middle + 8].copy_from_slice(&[0xff, 0, 0xff, 0, 0xff, 0, 0xff, 0]);
    assert!(matches!(refused(&spoiled).problem, Problem::Damaged(_)));
    // A decoder in its lenient mode would have passed this off as a picture.
    assert!(image::load_from_memory(&spoiled).is_ok());

    let mut flipped = png_of(DynamicImage::ImageRgb8(card(160, 104)));
    let middle = flipped.len() / 2;
    flipped[middle] ^= 0x10;
    assert!(matches!(
        refused(&flipped).problem,
        Problem::Damaged(_) | Problem::Truncated
    ));
}

#[test]
fn a_giant_header_is_refused_before_it_costs_memory() {
    let mut jpeg = crate::pictures::jpeg(&card(64, 48), 90);
    let frame = jpeg.windows(2).position(|w| w == [0xff, 0xc0]).unwrap();
    jpeg[frame + 5..frame + 9].copy_from_slice(&[0x27, 0x10, 0x4e, 0x20]); // 10000 × 20000
    let mut png = png_of(DynamicImage::ImageRgb8(card(64, 48)));
    png[16..24].copy_from_slice(&[0, 0, 0x27, 0x10, 0, 0, 0x4e, 0x20]);
    let mut endless = png.clone();
    endless[16..24].copy_from_slice(&[0xff; 8]);
    for (name, bytes) in [("JPEG", jpeg), ("PNG", png), ("4-billion PNG", endless)] {
        let (error, peak) = peak_of(|| refused(&bytes));
        assert!(
            matches!(
                error.problem,
                Problem::TooManyPixels {
                    limit: photo::PIXEL_LIMIT,
                    ..
                }
            ),
            "{name}: {error}"
        );
        assert!(
            error.to_string().contains("at most 64 megapixels"),
            "{error}"
        );
        assert!(peak < 100_000, "{name}: {peak} bytes were held");
    }
}

#[test]
fn memory_stays_near_what_the_decoded_picture_takes() {
    let picture = card(3264, 2448);
    let pixels = (picture.width() * picture.height()) as usize;
    for (name, bytes_per_pixel, source) in [
        ("JPEG", 3, crate::pictures::jpeg(&picture, 90)),
        (
            "progressive JPEG",
            9,
            crate::pictures::jpeg_by(&picture, 90, |encoder| encoder.set_progressive(true)),
        ),
        ("PNG", 3, png_of(picture.clone().into())),
        (
            "16-bit PNG with alpha",
            8,
            png_of(DynamicImage::ImageRgb8(picture).into_rgba16().into()),
        ),
    ] {
        let (result, peak) = peak_of(|| take_in_bytes(&source, name));
        assert!(result.is_ok(), "{name}");
        let decoded = pixels * bytes_per_pixel;
        println!("{name}: {peak} bytes at most, {decoded} decoded");
        // While scaling: the pixels, the same at the new width and old height, and the result.
        assert!(peak < 21 * decoded / 10, "{name}: {peak} bytes were held");
    }
}

#[test]
fn files_that_cannot_be_read_are_named() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("attic north.jpg");
    let error = take_in(&missing).unwrap_err();
    assert!(matches!(error.problem, Problem::Unreadable(_)));
    assert!(error.to_string().contains("attic north.jpg"), "{error}");

    assert!(matches!(
        take_in(folder.path()).unwrap_err().problem,
        Problem::NotAFile
    ));

    let big = folder.path().join("big.jpg");
    std::fs::File::create(&big)
        .unwrap()
        .set_len(photo::FILE_LIMIT + 1)
        .unwrap();
    let (error, peak) = peak_of(|| take_in(&big).unwrap_err());
    assert!(matches!(
        error.problem,
        Problem::TooBig {
            limit: photo::FILE_LIMIT,
            ..
        }
    ));
    assert!(error.to_string().contains("big.jpg"), "{error}");
    assert!(peak < 100_000, "{peak} bytes were held");
}

// ---- stored pictures ---------------------------------------------------------------------------

#[test]
fn stored_bytes_are_accepted_only_as_they_were_produced() {
    let good = taken(&talkative()).jpeg;
    let problem = |bytes: &[u8]| {
        let error = check(bytes, "photos/1.jpg").expect_err("it must be refused");
        assert!(error.to_string().starts_with("photos/1.jpg: "), "{error}");
        error.problem
    };
    assert_eq!(check(&good, "photos/1.jpg").unwrap(), (640, 416));

    let added =
        |marker: u8, body: &[u8]| problem(&with_segments(&good, &[(marker, body.to_vec())]));
    for (marker, body, name) in [
        (0xe1, &b"Exif\0\0MM"[..], "an EXIF segment"),
        (0xe1, b"http://ns.example/1.0/\0", "an XMP segment"),
        (0xe2, b"ICC_PROFILE\0\x01\x01", "an ICC colour profile"),
        (0xed, b"Photoshop 3.0\0", "an IPTC segment"),
        (0xe7, b"", "an APP7 segment"),
        (0xfe, b"12 Attic Lane", "a comment"),
        (
            0xe0,
            b"JFIF\0\x01\x02\0\0\x01\0\x01\x01\x01abc",
            "an APP0 segment",
        ),
    ] {
        let problem = added(marker, body);
        assert!(
            matches!(&problem, Problem::CarriesMetadata(said) if said == name),
            "{problem:?}"
        );
    }
    let longer = [&good[..], b"more"].concat();
    assert!(matches!(problem(&longer), Problem::CarriesMetadata(_)));
    // Between the tables and the scan, and between the scan and the end.
    let scan = good.windows(2).position(|w| w == [0xff, 0xda]).unwrap();
    let comment = b"\xff\xfe\x00\x05abc";
    for at in [scan, good.len() - 2] {
        let hidden = [&good[..at], comment, &good[at..]].concat();
        assert!(
            matches!(problem(&hidden), Problem::CarriesMetadata(_)),
            "at {at}"
        );
    }

    assert!(matches!(problem(b""), Problem::Empty));
    assert!(matches!(
        problem(&good[..good.len() - 1]),
        Problem::Truncated
    ));
    assert!(matches!(
        problem(&png_of(card(9, 9).into())),
        Problem::OtherPicture("PNG")
    ));
    let wide = crate::pictures::jpeg(&card(2049, 16), 80);
    assert!(matches!(
        problem(&wide),
        Problem::StoredTooLarge { width: 2049, .. }
    ));
    let progressive = crate::pictures::jpeg_by(&card(64, 48), 80, |e| e.set_progressive(true));
    assert!(matches!(problem(&progressive), Problem::UncommonJpeg(_)));
    let padded = vec![0; photo::STORED_LIMIT as usize + 1];
    assert!(matches!(problem(&padded), Problem::TooBig { .. }));
}

#[test]
fn checking_takes_next_to_no_memory() {
    let stored = taken(&crate::pictures::jpeg(
        &crate::pictures::attic(2048, 1536),
        90,
    ))
    .jpeg;
    let (size, peak) = peak_of(|| check(&stored, "stored").unwrap());
    assert_eq!(size, (2048, 1536));
    assert!(
        peak < 10_000,
        "{peak} bytes were held for {} of file",
        stored.len()
    );
}

// ---- rubbish -----------------------------------------------------------------------------------

/// One way to spoil a file; positions are parts of 65536 of its length.
#[derive(Clone, Debug)]
enum Spoil {
    Set(u16, u8),
    Cut(u16),
    Drop(u16, u8),
    Repeat(u16, u8),
    Insert(u16, Vec<u8>),
}

fn spoiled(mut bytes: Vec<u8>, steps: &[Spoil]) -> Vec<u8> {
    for step in steps {
        let place = |part: u16| usize::from(part) * bytes.len() / 65536;
        let span = |at: usize, count: u8| at..(at + usize::from(count)).min(bytes.len());
        match step {
            _ if bytes.is_empty() => break,
            Spoil::Set(at, value) => {
                let at = place(*at);
                bytes[at] = *value;
            }
            Spoil::Cut(at) => bytes.truncate(place(*at)),
            Spoil::Drop(at, count) => drop(bytes.drain(span(place(*at), *count))),
            Spoil::Repeat(at, count) => {
                let part = bytes[span(place(*at), *count)].to_vec();
                let at = place(*at);
                bytes.splice(at..at, part);
            }
            Spoil::Insert(at, more) => {
                let at = place(*at);
                bytes.splice(at..at, more.iter().copied());
            }
        }
    }
    bytes
}

fn spoil() -> impl Strategy<Value = Spoil> {
    // The header is where a single byte does most harm.
    let place = || prop_oneof![any::<u16>(), 0..2000u16];
    let byte = prop_oneof![any::<u8>(), Just(0xff), Just(0), Just(0xda), Just(0xc0)];
    prop_oneof![
        6 => (place(), byte).prop_map(|(at, value)| Spoil::Set(at, value)),
        1 => any::<u16>().prop_map(Spoil::Cut),
        2 => (place(), any::<u8>()).prop_map(|(at, count)| Spoil::Drop(at, count)),
        2 => (place(), any::<u8>()).prop_map(|(at, count)| Spoil::Repeat(at, count)),
        2 => (place(), prop::collection::vec(any::<u8>(), 0..9))
            .prop_map(|(at, more)| Spoil::Insert(at, more)),
    ]
}

fn seeds() -> Vec<Vec<u8>> {
    let picture = card(97, 61);
    let p3 = moxcms::ColorProfile::new_display_p3().encode().unwrap();
    let icc = [b"ICC_PROFILE\0\x01\x01".to_vec(), p3].concat();
    let exif = crate::pictures::exif(
        vec![
            (0x0112, Value::Short(6)),
            (
                0x8769,
                Value::Directory(vec![(0x9003, Value::Ascii("2026:07:01 18:05:09"))]),
            ),
        ],
        None,
    );
    let parts = [(0xe1, exif), (0xe2, icc)];
    let jpeg = |set: fn(&mut Encoder<&mut Vec<u8>>)| {
        with_segments(&crate::pictures::jpeg_by(&picture, 85, set), &parts)
    };
    vec![
        jpeg(|e| e.set_sampling_factor(SamplingFactor::F_2_2)),
        jpeg(|e| e.set_sampling_factor(SamplingFactor::F_2_1)),
        jpeg(|e| e.set_restart_interval(3)),
        jpeg(|e| {
            e.set_sampling_factor(SamplingFactor::F_2_2);
            e.set_progressive(true);
        }),
        taken(&talkative()).thumbnail,
        png_with_exif(&picture, &[(0x0112, 8)]),
        png_of(DynamicImage::ImageRgb8(picture).into_rgba16().into()),
    ]
}

fn whatever_comes_in(bytes: &[u8]) -> Result<(), TestCaseError> {
    if let Ok(taken) = take_in_bytes(bytes, "rubbish") {
        let size = check(&taken.jpeg, "produced").unwrap();
        prop_assert_eq!(size, (taken.width, taken.height));
        prop_assert!(check(&taken.thumbnail, "produced").is_ok());
    }
    if let Ok((width, height)) = check(bytes, "rubbish") {
        prop_assert!(width <= photo::LONG_EDGE && height <= photo::LONG_EDGE);
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn spoiled_files_give_a_picture_or_an_error(
        seed in prop::sample::select(seeds()),
        steps in prop::collection::vec(spoil(), 1..6),
    ) {
        whatever_comes_in(&spoiled(seed, &steps))?;
    }

    #[test]
    fn any_bytes_give_an_error(
        start in prop::sample::select(vec![
            &b""[..], b"\xff\xd8", b"\xff\xd8\xff\xe1", b"\x89PNG\r\n\x1a\n", b"\0\0\0\x18ftyp", b"RIFF",
        ]),
        rest in prop::collection::vec(any::<u8>(), 0..400),
    ) {
        whatever_comes_in(&[start, &rest].concat())?;
    }
}

// ---- files from real cameras, where a folder with some lies beside the crate -------------------

fn camera_files() -> Option<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../shared/photos");
    if folder.join("landscape_1.jpg").is_file() {
        return Some(folder);
    }
    println!("left out: {} is not there", folder.display());
    None
}

#[test]
fn camera_files_of_all_orientations_show_one_picture() {
    let Some(folder) = camera_files() else { return };
    for set in ["landscape", "portrait"] {
        let small: Vec<RgbImage> = (1..=8)
            .map(|n| take_in(&folder.join(format!("{set}_{n}.jpg"))).unwrap())
            .map(|taken| {
                assert_bare(&taken.jpeg);
                assert_eq!(taken.width > taken.height, set == "landscape");
                let picture = DynamicImage::ImageRgb8(decoded(&taken.thumbnail));
                picture
                    .resize_exact(48, 48, image::imageops::FilterType::Triangle)
                    .into_rgb8()
            })
            .collect();
        for (n, other) in small.iter().enumerate() {
            let likeness = psnr(&small[0], other);
            println!("{set}_{}: {likeness:.1} dB", n + 1);
            assert!(likeness > 28.0, "{set}_{}: {likeness} dB", n + 1);
            let turned = image::imageops::rotate180(other);
            assert!(
                psnr(&small[0], &turned) < 20.0,
                "{set} is not its own mirror"
            );
        }
    }
}

#[test]
fn camera_files_lose_their_position_and_keep_their_picture() {
    let Some(folder) = camera_files() else { return };
    for name in ["with_gps.jpg", "phone_8mp.jpg", "phone_9mp.jpg"] {
        let source = std::fs::read(folder.join(name)).unwrap();
        let taken = take_in(&folder.join(name)).unwrap();
        assert_bare(&taken.jpeg);
        assert_bare(&taken.thumbnail);
        assert_eq!(
            check(&taken.jpeg, name).unwrap(),
            (taken.width, taken.height)
        );
        assert!(taken.width.max(taken.height) <= photo::LONG_EDGE);
        println!(
            "{name}: {} × {}, {:?}",
            taken.width, taken.height, taken.taken_at
        );
        assert!(
            source.windows(4).any(|w| w == b"Exif"),
            "{name} had something to lose"
        );
    }
    assert!(
        take_in(&folder.join("phone_8mp.jpg"))
            .unwrap()
            .taken_at
            .is_some()
    );
}
