//! The demo's pictures: little scenes drawn by the program, so that no photograph of a real house is needed.

use crate::survey::Subject;
use image::{Rgb, RgbImage};

const WIDTH: u32 = 1024;
const HEIGHT: u32 = 768;

type Colour = [u8; 3];
/// A place in thousandths of the picture's width and height.
type Place = (f32, f32);

const INSULATION: Colour = [196, 178, 150];
const WOOD: Colour = [205, 160, 100];
const WOOD_SIDE: Colour = [150, 108, 62];
const DARK: Colour = [38, 32, 28];
const STEEL: Colour = [176, 182, 188];
const RED: Colour = [214, 40, 40];
const TAPE: Colour = [245, 205, 40];
const WALL: Colour = [226, 221, 208];
const PAINT: Colour = [244, 242, 236];

struct Canvas {
    image: RgbImage,
    dice: u32,
}

impl Canvas {
    fn new(ground: Colour) -> Self {
        Canvas {
            image: RgbImage::from_pixel(WIDTH, HEIGHT, Rgb(ground)),
            dice: 0x9E37_79B9,
        }
    }

    /// A random number from 0 to 1, the same in every run (xorshift, Marsaglia 2003).
    fn chance(&mut self) -> f32 {
        self.dice ^= self.dice << 13;
        self.dice ^= self.dice >> 17;
        self.dice ^= self.dice << 5;
        self.dice as f32 / u32::MAX as f32
    }

    /// Fills a polygon, row by row, between each pair of edges that the row crosses.
    fn shape(&mut self, corners: &[Place], colour: Colour) {
        let corners: Vec<(f32, f32)> = corners
            .iter()
            .map(|(x, y)| (x * WIDTH as f32 / 1000.0, y * HEIGHT as f32 / 1000.0))
            .collect();
        for row in 0..HEIGHT {
            let y = row as f32 + 0.5;
            let mut crossings: Vec<f32> = (0..corners.len())
                .filter_map(|at| {
                    let (a, b) = (corners[at], corners[(at + 1) % corners.len()]);
                    let crosses = (a.1 <= y) != (b.1 <= y);
                    crosses.then(|| a.0 + (y - a.1) / (b.1 - a.1) * (b.0 - a.0))
                })
                .collect();
            crossings.sort_by(f32::total_cmp);
            for pair in crossings.chunks_exact(2) {
                let from = pair[0].round().clamp(0.0, WIDTH as f32) as u32;
                let to = pair[1].round().clamp(0.0, WIDTH as f32) as u32;
                for x in from..to {
                    self.image.put_pixel(x, row, Rgb(colour));
                }
            }
        }
    }

    fn bar(&mut self, left: f32, top: f32, right: f32, bottom: f32, colour: Colour) {
        self.shape(
            &[(left, top), (right, top), (right, bottom), (left, bottom)],
            colour,
        );
    }

    fn line(&mut self, from: Place, to: Place, wide: f32, colour: Colour) {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let long = dx.hypot(dy).max(0.001);
        let (nx, ny) = (-dy / long * wide / 2.0, dx / long * wide / 2.0);
        self.shape(
            &[
                (from.0 + nx, from.1 + ny),
                (to.0 + nx, to.1 + ny),
                (to.0 - nx, to.1 - ny),
                (from.0 - nx, from.1 - ny),
            ],
            colour,
        );
    }

    fn disc(&mut self, middle: Place, radius: f32, colour: Colour) {
        let corners: Vec<Place> = (0..48)
            .map(|at| {
                let angle = at as f32 / 48.0 * std::f32::consts::TAU;
                // The picture is wider than high; a circle stays round.
                let stretch = WIDTH as f32 / HEIGHT as f32;
                (
                    middle.0 + radius * angle.cos(),
                    middle.1 + radius * stretch * angle.sin(),
                )
            })
            .collect();
        self.shape(&corners, colour);
    }

    /// Where the spot's mark is: a red cross.
    fn mark(&mut self, at: Place) {
        self.line(
            (at.0 - 22.0, at.1 - 30.0),
            (at.0 + 22.0, at.1 + 30.0),
            9.0,
            RED,
        );
        self.line(
            (at.0 - 22.0, at.1 + 30.0),
            (at.0 + 22.0, at.1 - 30.0),
            9.0,
            RED,
        );
    }

    /// A tape from left to right, with a longer stroke every fourth one.
    fn tape(&mut self, y: f32, from: f32, to: f32) {
        self.bar(from, y, to, y + 40.0, TAPE);
        let mut x = from + 6.0;
        for number in 0.. {
            if x >= to {
                break;
            }
            let long = if number % 4 == 0 { 26.0 } else { 14.0 };
            self.bar(x, y, x + 2.0, y + long, DARK);
            x += 9.0;
        }
    }

    /// Grain and dust, and the light of a head-lamp that fades to the rim.
    fn lamp(&mut self, grain: f32, fade: f32) {
        for y in 0..HEIGHT {
            for x in 0..WIDTH {
                let dx = x as f32 / WIDTH as f32 - 0.5;
                let dy = y as f32 / HEIGHT as f32 - 0.5;
                let light = (1.0 - fade * (dx * dx + dy * dy) * 2.0).max(0.08);
                let speck = (self.chance() - 0.5) * grain;
                let pixel = self.image.get_pixel_mut(x, y);
                for channel in &mut pixel.0 {
                    *channel = (f32::from(*channel) * light + speck).clamp(0.0, 255.0) as u8;
                }
            }
        }
    }

    /// Joists running away from the viewer, insulation between them.
    fn joists(&mut self, count: u32) {
        for number in 0..count {
            let share = (number as f32 + 0.5) / count as f32;
            let (near, far) = (share * 1400.0 - 200.0, 360.0 + share * 280.0);
            self.shape(
                &[
                    (near, 1000.0),
                    (near + 62.0, 1000.0),
                    (far + 15.0, 230.0),
                    (far, 230.0),
                ],
                WOOD,
            );
            self.shape(
                &[
                    (near + 62.0, 1000.0),
                    (near + 84.0, 1000.0),
                    (far + 20.0, 230.0),
                    (far + 15.0, 230.0),
                ],
                WOOD_SIDE,
            );
        }
        self.bar(0.0, 0.0, 1000.0, 230.0, DARK);
    }

    fn jpeg(self) -> Vec<u8> {
        let mut bytes = std::io::Cursor::new(Vec::new());
        // A picture in memory is written to memory: nothing of that can fail.
        let encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 88);
        self.image
            .write_with_encoder(encoder)
            .expect("a picture becomes a JPEG");
        bytes.into_inner()
    }
}

/// A picture of the subject as a JPEG file; the same bytes in every run.
pub(super) fn picture(subject: Subject) -> Vec<u8> {
    match subject {
        Subject::House => house(),
        Subject::HallCeiling => hall_ceiling(),
        Subject::SpotFromAbove => spot_from_above(),
        Subject::RoofOverSpot => roof_over_spot(),
        Subject::GradeStamp => grade_stamp(),
        Subject::Obstruction => duct(),
        Subject::Hazard => flue(),
        Subject::Hatch => hatch(),
        Subject::Vent => vent(),
        Subject::SwitchBox => switch_box(),
        Subject::Panel => panel(),
        Subject::Appliance => water_heater(),
        _ => joists_with_tape(),
    }
}

fn house() -> Vec<u8> {
    let mut canvas = Canvas::new([150, 190, 225]);
    canvas.bar(0.0, 760.0, 1000.0, 1000.0, [104, 140, 76]);
    canvas.bar(180.0, 470.0, 820.0, 790.0, WALL);
    canvas.shape(
        &[(130.0, 480.0), (500.0, 230.0), (870.0, 480.0)],
        [92, 70, 62],
    );
    canvas.shape(&[(450.0, 400.0), (500.0, 340.0), (550.0, 400.0)], DARK);
    for step in 0..4 {
        let y = 352.0 + step as f32 * 12.0;
        let half = 6.0 + step as f32 * 11.0;
        canvas.line((500.0 - half, y), (500.0 + half, y), 4.0, STEEL);
    }
    canvas.bar(460.0, 590.0, 540.0, 790.0, [120, 60, 50]);
    for left in [250.0, 640.0] {
        canvas.bar(left, 570.0, left + 110.0, 690.0, PAINT);
        canvas.bar(left + 8.0, 580.0, left + 102.0, 680.0, [96, 126, 150]);
    }
    canvas.lamp(14.0, 0.3);
    canvas.jpeg()
}

fn hall_ceiling() -> Vec<u8> {
    let mut canvas = Canvas::new(PAINT);
    canvas.shape(
        &[(0.0, 0.0), (300.0, 300.0), (300.0, 700.0), (0.0, 1000.0)],
        WALL,
    );
    canvas.shape(
        &[
            (1000.0, 0.0),
            (700.0, 300.0),
            (700.0, 700.0),
            (1000.0, 1000.0),
        ],
        WALL,
    );
    canvas.bar(300.0, 560.0, 700.0, 700.0, [206, 200, 186]);
    canvas.shape(
        &[
            (300.0, 700.0),
            (700.0, 700.0),
            (1000.0, 1000.0),
            (0.0, 1000.0),
        ],
        [142, 112, 84],
    );
    canvas.bar(420.0, 590.0, 500.0, 700.0, [168, 140, 110]);
    canvas.disc((500.0, 120.0), 52.0, [255, 250, 226]);
    canvas.disc((500.0, 120.0), 40.0, [255, 255, 246]);
    canvas.disc((610.0, 400.0), 20.0, [216, 216, 216]);
    canvas.mark((500.0, 300.0));
    canvas.lamp(8.0, 0.5);
    canvas.jpeg()
}

fn spot_from_above() -> Vec<u8> {
    let mut canvas = Canvas::new(INSULATION);
    canvas.joists(6);
    canvas.line((500.0, 640.0), (500.0, 300.0), 5.0, RED);
    canvas.mark((500.0, 640.0));
    canvas.lamp(38.0, 1.9);
    canvas.jpeg()
}

fn joists_with_tape() -> Vec<u8> {
    let mut canvas = Canvas::new(INSULATION);
    canvas.joists(5);
    canvas.tape(700.0, 90.0, 910.0);
    canvas.lamp(38.0, 1.8);
    canvas.jpeg()
}

fn roof_over_spot() -> Vec<u8> {
    let mut canvas = Canvas::new([112, 84, 58]);
    for number in 0..7 {
        let x = number as f32 * 170.0 - 20.0;
        let inner = 380.0 + number as f32 * 40.0;
        canvas.shape(
            &[
                (x, 1000.0),
                (x + 46.0, 1000.0),
                (inner + 14.0, 180.0),
                (inner, 180.0),
            ],
            WOOD,
        );
        canvas.shape(
            &[
                (x, 0.0),
                (x + 40.0, 0.0),
                (inner + 14.0, 180.0),
                (inner, 180.0),
            ],
            WOOD_SIDE,
        );
    }
    canvas.bar(340.0, 168.0, 680.0, 198.0, WOOD);
    canvas.lamp(30.0, 1.7);
    canvas.jpeg()
}

fn grade_stamp() -> Vec<u8> {
    let mut canvas = Canvas::new(WOOD);
    for line in 0..60 {
        let y = line as f32 * 17.0 + canvas.chance() * 9.0;
        let bend = canvas.chance() * 18.0;
        canvas.line((0.0, y), (1000.0, y + bend), 2.0, [188, 140, 82]);
    }
    // A frame with bars where a mill's marks would be: no real stamp is shown.
    let ink = [58, 60, 110];
    for (left, top, right, bottom) in [
        (300.0, 360.0, 700.0, 372.0),
        (300.0, 628.0, 700.0, 640.0),
        (300.0, 360.0, 310.0, 640.0),
        (690.0, 360.0, 700.0, 640.0),
        (340.0, 410.0, 500.0, 450.0),
        (540.0, 410.0, 660.0, 450.0),
        (340.0, 490.0, 620.0, 520.0),
        (340.0, 560.0, 450.0, 590.0),
    ] {
        canvas.bar(left, top, right, bottom, ink);
    }
    canvas.lamp(22.0, 0.9);
    canvas.jpeg()
}

fn duct() -> Vec<u8> {
    let mut canvas = Canvas::new(INSULATION);
    canvas.joists(6);
    canvas.shape(
        &[(0.0, 430.0), (1000.0, 330.0), (1000.0, 560.0), (0.0, 690.0)],
        STEEL,
    );
    for number in 0..26 {
        let x = number as f32 * 40.0;
        let top = 430.0 - x * 0.1;
        canvas.line(
            (x, top),
            (x + 8.0, top + 258.0 - x * 0.03),
            5.0,
            [128, 134, 140],
        );
    }
    canvas.shape(
        &[(0.0, 440.0), (1000.0, 340.0), (1000.0, 366.0), (0.0, 470.0)],
        [222, 228, 232],
    );
    canvas.lamp(34.0, 1.8);
    canvas.jpeg()
}

fn flue() -> Vec<u8> {
    let mut canvas = Canvas::new(INSULATION);
    canvas.joists(6);
    canvas.shape(
        &[(420.0, 0.0), (580.0, 0.0), (590.0, 760.0), (410.0, 760.0)],
        STEEL,
    );
    canvas.shape(
        &[(440.0, 0.0), (480.0, 0.0), (480.0, 760.0), (436.0, 760.0)],
        [216, 222, 226],
    );
    canvas.bar(396.0, 740.0, 604.0, 780.0, [120, 124, 128]);
    canvas.mark((650.0, 800.0));
    canvas.lamp(36.0, 1.9);
    canvas.jpeg()
}

fn hatch() -> Vec<u8> {
    let mut canvas = Canvas::new(PAINT);
    canvas.shape(
        &[
            (280.0, 180.0),
            (720.0, 180.0),
            (760.0, 620.0),
            (240.0, 620.0),
        ],
        WOOD,
    );
    canvas.shape(
        &[
            (310.0, 210.0),
            (690.0, 210.0),
            (722.0, 590.0),
            (278.0, 590.0),
        ],
        DARK,
    );
    canvas.line((430.0, 1000.0), (460.0, 300.0), 16.0, STEEL);
    canvas.line((590.0, 1000.0), (560.0, 300.0), 16.0, STEEL);
    for step in 0..6 {
        let y = 380.0 + step as f32 * 105.0;
        canvas.line(
            (448.0 - step as f32 * 4.0, y),
            (572.0 + step as f32 * 4.0, y),
            12.0,
            STEEL,
        );
    }
    canvas.tape(630.0, 240.0, 760.0);
    canvas.lamp(10.0, 0.6);
    canvas.jpeg()
}

fn vent() -> Vec<u8> {
    let mut canvas = Canvas::new(WALL);
    canvas.bar(0.0, 0.0, 1000.0, 180.0, [92, 70, 62]);
    canvas.bar(260.0, 340.0, 740.0, 660.0, PAINT);
    canvas.bar(280.0, 362.0, 720.0, 638.0, DARK);
    for number in 0..9 {
        let y = 370.0 + number as f32 * 30.0;
        canvas.bar(280.0, y, 720.0, y + 17.0, STEEL);
    }
    canvas.tape(680.0, 240.0, 760.0);
    canvas.lamp(12.0, 0.5);
    canvas.jpeg()
}

fn switch_box() -> Vec<u8> {
    let mut canvas = Canvas::new(WALL);
    canvas.bar(380.0, 260.0, 620.0, 740.0, [70, 92, 140]);
    canvas.bar(396.0, 280.0, 604.0, 720.0, DARK);
    for (number, colour) in [[236, 236, 230], [30, 30, 30], RED, [196, 140, 60]]
        .iter()
        .enumerate()
    {
        let x = 430.0 + number as f32 * 42.0;
        canvas.line((x, 290.0), (x + 18.0, 560.0), 13.0, *colour);
        canvas.line((x + 18.0, 560.0), (x - 10.0, 690.0), 13.0, *colour);
    }
    canvas.lamp(10.0, 0.6);
    canvas.jpeg()
}

fn panel() -> Vec<u8> {
    let mut canvas = Canvas::new(WALL);
    canvas.bar(300.0, 80.0, 700.0, 940.0, [150, 156, 160]);
    canvas.bar(340.0, 150.0, 660.0, 900.0, [60, 62, 66]);
    for row in 0..10 {
        for side in 0..2 {
            // Two places are free.
            if row == 9 {
                continue;
            }
            let (x, y) = (356.0 + side as f32 * 150.0, 170.0 + row as f32 * 70.0);
            canvas.bar(x, y, x + 138.0, y + 56.0, [22, 22, 24]);
            canvas.bar(x + 50.0, y + 14.0, x + 88.0, y + 42.0, [210, 210, 206]);
        }
    }
    canvas.lamp(10.0, 0.5);
    canvas.jpeg()
}

fn water_heater() -> Vec<u8> {
    let mut canvas = Canvas::new([206, 200, 186]);
    canvas.bar(0.0, 860.0, 1000.0, 1000.0, [120, 112, 104]);
    canvas.bar(370.0, 330.0, 630.0, 890.0, [228, 228, 224]);
    canvas.bar(390.0, 330.0, 430.0, 890.0, [248, 248, 246]);
    // The open hood under the flue, where burnt gas can spill.
    canvas.shape(
        &[
            (440.0, 330.0),
            (560.0, 330.0),
            (530.0, 280.0),
            (470.0, 280.0),
        ],
        STEEL,
    );
    canvas.bar(470.0, 0.0, 530.0, 262.0, STEEL);
    for x in [452.0, 540.0] {
        canvas.line((x, 330.0), (x, 284.0), 6.0, DARK);
    }
    canvas.line((410.0, 330.0), (410.0, 60.0), 14.0, [190, 110, 60]);
    canvas.line((590.0, 330.0), (590.0, 60.0), 14.0, [190, 110, 60]);
    canvas.lamp(12.0, 0.7);
    canvas.jpeg()
}
