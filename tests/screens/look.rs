//! Looks at what a window shows as its items are laid out: what is cut off, what overlaps, what is too small to tap.
//!
//! Everything is read from the window's own items, also what lies beyond the fold of a page, so no pixel is needed.
//! How large a text must be is asked from the engine that sets it, with the embedded typeface.
//!
//! The items are no stable interface of Slint; its version is pinned.

use i_slint_backend_testing::ElementRoot;
use slint::private_unstable_api::re_exports::{
    self as inside, AccessibleRole, AccessibleStringProperty, ItemRc, Orientation, WindowInner,
};
use std::fmt;

/// The least side of what is tapped, in dp: 48, as is usual for touch (WCAG 2.2, SC 2.5.5 asks 44 CSS px).
pub const TOUCH: f32 = 48.0;
/// The least side of a key of the keypad, and of what takes a picture, for gloves (our own rule).
pub const KEY: f32 = 64.0;
/// Components that are pressed with gloves, by name.
const GLOVES: [&str; 2] = ["Key", "CaptureButton"];
/// The most that an answer's key is high, in `TOUCH`, unless its words need more (our own rule).
const HIGHEST: f32 = 2.5;
/// What is thinner is a line or the mark of where a page stands, no neighbour.
const THIN: f32 = 10.0;

/// A rectangle in the window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Area {
    pub left: f32,
    pub top: f32,
    pub right: f32,
    pub bottom: f32,
}

impl Area {
    pub fn width(&self) -> f32 {
        self.right - self.left
    }

    pub fn height(&self) -> f32 {
        self.bottom - self.top
    }

    pub fn both(&self, other: &Area) -> Area {
        Area {
            left: self.left.max(other.left),
            top: self.top.max(other.top),
            right: self.right.min(other.right),
            bottom: self.bottom.min(other.bottom),
        }
    }

    /// Whether anything is left of it, with this much to spare in both directions.
    pub fn is_more_than(&self, spare: f32) -> bool {
        self.width() > spare && self.height() > spare
    }

    /// Whether the other lies in this one, give or take a pixel.
    pub fn holds(&self, other: &Area) -> bool {
        other.left >= self.left - 1.0
            && other.top >= self.top - 1.0
            && other.right <= self.right + 1.0
            && other.bottom <= self.bottom + 1.0
    }
}

impl fmt::Display for Area {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:.0},{:.0} {:.0}×{:.0}",
            self.left,
            self.top,
            self.width(),
            self.height()
        )
    }
}

/// What an item is to the eye or the finger.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    Text {
        text: String,
        /// The least width: its longest word, or all of it where it does not wrap.
        word: f32,
        /// The height that it needs at the width that it has.
        needs: f32,
    },
    Input {
        text: String,
        /// The least width: all of it where it stays in one line; nothing where it wraps.
        wide: f32,
        /// The height that it needs at the width that it has.
        needs: f32,
    },
    /// A drawn mark.
    Drawing,
    /// A photograph, or another picture of pixels.
    Picture,
    /// What takes a finger.
    Target { enabled: bool },
    /// A painted ground, and the width of its border.
    Ground { opaque: bool, border: f32 },
    /// Cuts off what lies outside; a page that scrolls does so with its `content`.
    Clip { content: Option<Area> },
    /// Nothing to be seen.
    Frame,
}

/// One item, in the order in which they are painted.
#[derive(Debug, Clone)]
pub struct Item {
    pub kind: Kind,
    /// Where it lies.
    pub area: Area,
    /// Where it has ink: for a text the words themselves.
    pub ink: Area,
    /// What can be seen of its area now.
    pub seen: Area,
    /// What is around it, as places in the list.
    pub parent: Option<usize>,
    clip: Option<usize>,
    /// Whether what is around it is shown as not to be used now.
    pub faint: bool,
    names: Vec<String>,
    label: String,
}

/// Everything in a window.
pub struct Look {
    pub items: Vec<Item>,
    window: Area,
    /// How many times as large as usual its words are.
    scale: f32,
}

impl Look {
    /// Looks at a window whose words have their usual size.
    pub fn at(component: &(impl ElementRoot + slint::ComponentHandle)) -> Look {
        Look::scaled(component, 1.0)
    }

    /// Looks at a window whose words are so many times as large as usual.
    pub fn scaled(component: &(impl ElementRoot + slint::ComponentHandle), scale: f32) -> Look {
        let adapter = WindowInner::from_pub(component.window()).window_adapter();
        let size = component.window().size();
        let factor = component.window().scale_factor();
        let window = Area {
            left: 0.0,
            top: 0.0,
            right: size.width as f32 / factor,
            bottom: size.height as f32 / factor,
        };
        let mut look = Look {
            items: Vec::new(),
            window,
            scale,
        };
        let root = ItemRc::new_root(component.item_tree());
        let around = Around {
            origin: (0.0, 0.0),
            seen: window,
            parent: None,
            clip: None,
            faint: false,
        };
        look.visit(&root, &around, &adapter);
        look
    }

    fn visit(&mut self, item: &ItemRc, around: &Around, adapter: &inside::WindowAdapterRc) {
        let geometry = item.geometry();
        let (left, top) = (
            around.origin.0 + geometry.origin.x,
            around.origin.1 + geometry.origin.y,
        );
        let area = Area {
            left,
            top,
            right: left + geometry.size.width,
            bottom: top + geometry.size.height,
        };
        let mut inner = Around {
            origin: (left, top),
            ..*around
        };
        let mut ink = area;
        let needs = |orientation| {
            item.borrow()
                .as_ref()
                .layout_info(orientation, -1.0, adapter, item)
        };
        let mut text = |wraps: bool,
                        text: inside::SharedString,
                        across: inside::TextHorizontalAlignment,
                        down: inside::TextVerticalAlignment| {
            let (width, height) = (needs(Orientation::Horizontal), needs(Orientation::Vertical));
            ink = words_in(
                area,
                (width.preferred, height.preferred),
                format!("{across:?}").as_str(),
                format!("{down:?}").as_str(),
            );
            Kind::Text {
                text: text.to_string(),
                word: if wraps { width.min } else { width.preferred },
                needs: height.preferred,
            }
        };
        let ground = |background: inside::Brush, width: f32, border: inside::Brush| Kind::Ground {
            opaque: background.color().alpha() == 255,
            border: if border.color().alpha() > 0 {
                width
            } else {
                0.0
            },
        };
        let kind = if let Some(it) = item.downcast::<inside::ComplexText>() {
            let it = it.as_pin_ref();
            let (across, down) = (it.horizontal_alignment(), it.vertical_alignment());
            let wraps = it.wrap() != inside::TextWrap::NoWrap;
            text(wraps, it.text(), across, down)
        } else if let Some(it) = item.downcast::<inside::SimpleText>() {
            let it = it.as_pin_ref();
            let (across, down) = (it.horizontal_alignment(), it.vertical_alignment());
            text(false, it.text(), across, down)
        } else if let Some(it) = item.downcast::<inside::TextInput>() {
            let (width, height) = (needs(Orientation::Horizontal), needs(Orientation::Vertical));
            Kind::Input {
                text: it.as_pin_ref().text().to_string(),
                wide: width.min,
                needs: height.preferred,
            }
        } else if item.downcast::<inside::Path>().is_some() {
            Kind::Drawing
        } else if item.downcast::<inside::ImageItem>().is_some()
            || item.downcast::<inside::ClippedImage>().is_some()
        {
            Kind::Picture
        } else if let Some(it) = item.downcast::<inside::TouchArea>() {
            let enabled = it.as_pin_ref().enabled();
            inner.faint |= !enabled;
            Kind::Target { enabled }
        } else if let Some(it) = item.downcast::<inside::Rectangle>() {
            ground(it.as_pin_ref().background(), 0.0, inside::Brush::default())
        } else if let Some(it) = item.downcast::<inside::BasicBorderRectangle>() {
            let it = it.as_pin_ref();
            ground(it.background(), it.border_width().get(), it.border_color())
        } else if let Some(it) = item.downcast::<inside::BorderRectangle>() {
            let it = it.as_pin_ref();
            ground(it.background(), it.border_width().get(), it.border_color())
        } else if let Some(it) = item.downcast::<inside::Flickable>() {
            let it = it.as_pin_ref();
            let (x, y) = (it.content_x().get(), it.content_y().get());
            let (left, top) = (area.left + x, area.top + y);
            let (wide, high) = (it.content_width().get(), it.content_height().get());
            Kind::Clip {
                content: Some(Area {
                    left,
                    top,
                    right: left + wide.max(area.width()),
                    bottom: top + high.max(area.height()),
                }),
            }
        } else if let Some(it) = item.downcast::<inside::Clip>() {
            let it = it.as_pin_ref();
            match (it.is_visibility_clip(), it.clip()) {
                // Not to be seen at all.
                (true, true) => return,
                (false, true) => Kind::Clip { content: None },
                _ => Kind::Frame,
            }
        } else if let Some(it) = item.downcast::<inside::Opacity>() {
            inner.faint |= it.as_pin_ref().opacity() < 1.0;
            Kind::Frame
        } else {
            Kind::Frame
        };
        let elements = item.element_count().unwrap_or(0);
        let names = (0..elements)
            .filter_map(|at| item.element_type_names_and_ids(at))
            .flatten()
            .map(|(name, _)| name.to_string())
            .collect();
        let label = if item.accessible_role() == AccessibleRole::None {
            String::new()
        } else {
            item.accessible_string_property(AccessibleStringProperty::Label)
                .map_or_else(String::new, |it| it.to_string())
        };
        let at = self.items.len();
        inner.parent = Some(at);
        if matches!(kind, Kind::Clip { .. }) {
            inner.clip = Some(at);
            inner.seen = around.seen.both(&area);
        }
        self.items.push(Item {
            kind,
            area,
            ink,
            seen: around.seen.both(&area),
            parent: around.parent,
            clip: around.clip,
            faint: inner.faint,
            names,
            label,
        });
        let mut child = item.first_child();
        while let Some(it) = child {
            self.visit(&it, &inner, adapter);
            child = it.next_sibling();
        }
    }

    /// What an item is called: its own words, or the label of what it belongs to, and its component.
    pub fn name(&self, at: usize) -> String {
        let mut said = match &self.items[at].kind {
            Kind::Text { text, .. } | Kind::Input { text, .. } => format!("“{text}”"),
            _ => String::new(),
        };
        let mut component = String::new();
        for it in self.up(at) {
            let item = &self.items[it];
            if said.is_empty() && !item.label.is_empty() {
                said = format!("“{}”", item.label);
            }
            if component.is_empty() {
                component = item
                    .names
                    .iter()
                    .find(|name| !BUILT_IN.contains(&name.as_str()) && !name.is_empty())
                    .cloned()
                    .unwrap_or_default();
            }
        }
        format!("{said} ({component}) at {}", self.items[at].area)
    }

    /// The item and what is around it, from the inside out.
    fn up(&self, at: usize) -> impl Iterator<Item = usize> {
        std::iter::successors(Some(at), |it| self.items[*it].parent)
    }

    fn is_in(&self, at: usize, outer: usize) -> bool {
        self.up(at).any(|it| it == outer)
    }

    /// Whether something painted later lies over all of it: a picture over the page, say.
    pub fn is_hidden(&self, at: usize) -> bool {
        let seen = self.items[at].seen;
        (at + 1..self.items.len()).any(|over| {
            let it = &self.items[over];
            matches!(it.kind, Kind::Ground { opaque: true, .. })
                && it.seen.holds(&seen)
                // Large enough to be meant: a page over a page, no stray box.
                && it.seen.width() * it.seen.height() > 0.3 * self.window.width() * self.window.height()
                && !self.is_in(over, at)
        })
    }

    /// How many outlined boxes can be seen.
    pub fn outlined(&self) -> usize {
        (0..self.items.len())
            .filter(|at| {
                let item = &self.items[*at];
                matches!(item.kind, Kind::Ground { border, .. } if border > 0.0)
                    && item.area.is_more_than(8.0)
                    && item.seen.is_more_than(8.0)
                    && !self.is_hidden(*at)
            })
            .count()
    }

    /// Where the strips of tape are.
    pub fn tapes(&self) -> impl Iterator<Item = Area> {
        self.items
            .iter()
            .filter(|item| item.names.iter().any(|name| name == "TapeStrip"))
            .map(|item| item.seen)
    }

    /// The words on the strips of tape that can be seen.
    pub fn on_tape(&self) -> Vec<String> {
        (0..self.items.len())
            .filter(|at| {
                self.items[*at].seen.is_more_than(2.0)
                    && self.up(*at).any(|it| {
                        let names = &self.items[it].names;
                        names.iter().any(|name| name == "TapeStrip")
                    })
            })
            .filter_map(|at| match &self.items[at].kind {
                Kind::Text { text, .. } => Some(text.clone()),
                _ => None,
            })
            .collect()
    }

    /// Everything that is wrong, one sentence each.
    pub fn faults(&self) -> Vec<String> {
        let mut faults = Vec::new();
        for at in 0..self.items.len() {
            self.cut_off(at, &mut faults);
            self.sticks_out(at, &mut faults);
            self.too_small(at, &mut faults);
            self.too_high(at, &mut faults);
        }
        self.overlaps(&mut faults);
        faults
    }

    fn cut_off(&self, at: usize, faults: &mut Vec<String>) {
        let item = &self.items[at];
        let (text, word, needs) = match &item.kind {
            Kind::Text { text, word, needs } => (text, word, needs),
            Kind::Input { text, wide, needs } => (text, wide, needs),
            _ => return,
        };
        if text.trim().is_empty() {
            return;
        }
        // A path or another name that a machine made has no place to break; it is broken anywhere.
        let endless = text
            .split_whitespace()
            .any(|word| word.contains(['/', '\\']) || word.chars().count() > 28);
        // A line that is wider than its well follows the cursor in it; what is seen of it is as wide as the well.
        let room = match (&item.kind, item.clip) {
            (Kind::Input { .. }, Some(well)) => item.area.both(&self.items[well].area).width(),
            _ => item.area.width(),
        };
        if *word > room + 1.0 && !endless {
            faults.push(format!("cut off: {} needs {word:.0} across", self.name(at)));
        }
        if *needs > item.area.height() + 1.5 {
            faults.push(format!("cut off: {} needs {needs:.0} down", self.name(at)));
        }
    }

    fn sticks_out(&self, at: usize, faults: &mut Vec<String>) {
        let item = &self.items[at];
        let (what, area) = match &item.kind {
            Kind::Text { text, .. } if !text.trim().is_empty() => ("text", item.ink),
            Kind::Input { .. } => ("input", item.area),
            Kind::Drawing | Kind::Picture => ("drawing", item.area),
            Kind::Target { .. } => ("target", item.area),
            Kind::Clip { .. } => ("part", item.area),
            _ => return,
        };
        if !area.is_more_than(0.5) {
            return;
        }
        let bounds = match item.clip.map(|clip| &self.items[clip]) {
            None => self.window,
            Some(clip) => match &clip.kind {
                Kind::Clip {
                    content: Some(content),
                } => *content,
                _ => clip.area,
            },
        };
        // Of such a line only the height counts here: see `cut_off`.
        let area = match item.kind {
            Kind::Input { wide, .. } if wide > 0.0 => Area {
                left: bounds.left.max(area.left),
                right: bounds.right.min(area.right),
                ..area
            },
            _ => area,
        };
        if !bounds.holds(&area) {
            faults.push(format!(
                "sticks out: {what} {} out of {bounds}",
                self.name(at)
            ));
            return;
        }
        // Words stay on the ground that they stand on, and so does what is tapped, whose own ground is the key itself.
        let key = matches!(item.kind, Kind::Target { enabled: true });
        if key || matches!(item.kind, Kind::Text { .. }) {
            let ground = self
                .up(at)
                .skip(1)
                .map(|it| &self.items[it])
                .find(|it| match it.kind {
                    Kind::Ground { opaque, border } => {
                        (opaque || border > 0.0) && !(key && area.holds(&it.area))
                    }
                    Kind::Clip { .. } => true,
                    _ => false,
                });
            if let Some(ground) = ground
                && matches!(ground.kind, Kind::Ground { .. })
                && !ground.area.holds(&area)
            {
                faults.push(format!(
                    "sticks out: {what} {} out of its ground {}",
                    self.name(at),
                    ground.area
                ));
            }
        }
    }

    fn too_small(&self, at: usize, faults: &mut Vec<String>) {
        let item = &self.items[at];
        let Kind::Target { enabled: true } = item.kind else {
            return;
        };
        let gloved = self.up(at).take(4).any(|it| {
            self.items[it]
                .names
                .iter()
                .any(|name| GLOVES.contains(&name.as_str()))
        });
        let least = if gloved { KEY } else { TOUCH };
        if item.area.width() < least - 0.5 || item.area.height() < least - 0.5 {
            faults.push(format!(
                "too small to tap, less than {least:.0}: {}",
                self.name(at)
            ));
        }
    }

    /// A key of an answer that is stretched far beyond its words.
    fn too_high(&self, at: usize, faults: &mut Vec<String>) {
        let item = &self.items[at];
        let most = HIGHEST * TOUCH * self.scale;
        if !matches!(item.kind, Kind::Target { .. }) || item.area.height() <= most + 0.5 {
            return;
        }
        let is = |it: usize, component: &str| {
            let names = &self.items[it].names;
            names.iter().any(|name| name == component)
        };
        let Some(key) = self.up(at).take(4).find(|it| is(*it, "Tap")) else {
            return;
        };
        let of_list = |it: usize| is(it, "ButtonsField") || is(it, "PickSheet");
        let named = |component: &str| self.up(at).take(4).any(|it| is(it, component));
        let answers = named("Answer") || (!named("SignButton") && self.up(key).any(of_list));
        if !answers {
            return;
        }
        // Answers side by side are as high as the one that needs most.
        let group = self.up(key).find(|it| is(*it, "Answers")).unwrap_or(key);
        let needs = self.items[group + 1..]
            .iter()
            .take_while(|it| it.parent.is_some_and(|parent| parent >= group))
            .map(|it| match it.kind {
                Kind::Text { needs, .. } => needs,
                _ => 0.0,
            })
            .fold(0.0, f32::max);
        if item.area.height() > needs + TOUCH * self.scale {
            faults.push(format!(
                "too high, more than {most:.0} for words of {needs:.0}: {}",
                self.name(at)
            ));
        }
    }

    fn overlaps(&self, faults: &mut Vec<String>) {
        // What has ink or takes a finger, from top to bottom.
        let mut all: Vec<usize> = (0..self.items.len())
            .filter(|at| {
                let item = &self.items[*at];
                let inked = match &item.kind {
                    Kind::Text { text, .. } | Kind::Input { text, .. } => !text.trim().is_empty(),
                    Kind::Drawing | Kind::Picture | Kind::Target { .. } => true,
                    _ => false,
                };
                inked && item.ink.is_more_than(0.5)
            })
            .collect();
        all.sort_by(|a, b| self.items[*a].ink.top.total_cmp(&self.items[*b].ink.top));
        for (n, a) in all.iter().enumerate() {
            for b in &all[n + 1..] {
                if self.items[*b].ink.top > self.items[*a].ink.bottom {
                    break;
                }
                if self.clash(*a, *b) {
                    faults.push(format!(
                        "overlap: {} and {}",
                        self.name(*a.min(b)),
                        self.name(*a.max(b))
                    ));
                }
            }
        }
        // A ground over what was painted before it, and is not under it by being around it.
        for (over, ground) in self.items.iter().enumerate() {
            if !matches!(ground.kind, Kind::Ground { opaque: true, .. }) {
                continue;
            }
            for at in all.iter().copied().filter(|at| *at < over) {
                let item = &self.items[at];
                let (covered, by) = self.apart(at, over);
                // Keys lie on drawings and pictures, and what stands on a key lies on it; a neighbour does not.
                match item.kind {
                    Kind::Picture | Kind::Target { enabled: false } => continue,
                    Kind::Target { .. } if covered.holds(&by) || !by.is_more_than(THIN) => continue,
                    _ => {}
                }
                if covered.both(&by).is_more_than(2.0)
                    && !self.is_in(over, at)
                    && !self.is_hidden(at)
                {
                    faults.push(format!("covered: {} by {}", self.name(at), self.name(over)));
                }
            }
        }
    }

    /// The ink of both, each cut by the clips that only one of them lies in.
    fn apart(&self, a: usize, b: usize) -> (Area, Area) {
        let (one, other) = (&self.items[a], &self.items[b]);
        if one.clip == other.clip {
            (one.ink, other.ink)
        } else {
            (one.ink.both(&one.seen), other.ink.both(&other.seen))
        }
    }

    fn clash(&self, a: usize, b: usize) -> bool {
        let target = |at: usize| matches!(self.items[at].kind, Kind::Target { .. });
        if target(a) != target(b) {
            return false;
        }
        let (one, other) = self.apart(a, b);
        if !one.both(&other).is_more_than(1.5) || self.is_hidden(a) || self.is_hidden(b) {
            return false;
        }
        if target(a) {
            // A larger one around or under a smaller one is a page that keeps taps from falling through.
            return !one.holds(&other) && !other.holds(&one);
        }
        // What lies on a picture needs a ground of its own.
        let (under, upper) = (a.min(b), a.max(b));
        if self.items[under].kind == Kind::Picture
            && self.up(upper).any(|it| {
                it > under && matches!(self.items[it].kind, Kind::Ground { opaque: true, .. })
            })
        {
            return false;
        }
        // The parts of one mark lie over each other.
        let drawing = |at: usize| self.items[at].kind == Kind::Drawing;
        !(drawing(a) && drawing(b) && self.items[a].parent == self.items[b].parent)
    }
}

const BUILT_IN: [&str; 14] = [
    "Text",
    "SimpleText",
    "ComplexText",
    "TextInput",
    "Path",
    "Image",
    "ClippedImage",
    "TouchArea",
    "Rectangle",
    "BasicBorderRectangle",
    "BorderRectangle",
    "Flickable",
    "FocusScope",
    "Clip",
];

#[derive(Clone, Copy)]
struct Around {
    origin: (f32, f32),
    seen: Area,
    parent: Option<usize>,
    clip: Option<usize>,
    faint: bool,
}

/// Where words of this size stand in their area.
fn words_in(area: Area, (wide, high): (f32, f32), across: &str, down: &str) -> Area {
    let wide = wide.min(area.width());
    let left = match across {
        "Center" => (area.left + area.right - wide) / 2.0,
        "End" | "Right" => area.right - wide,
        _ => area.left,
    };
    let top = match down {
        "Center" => (area.top + area.bottom - high) / 2.0,
        "Bottom" => area.bottom - high,
        _ => area.top,
    };
    Area {
        left,
        top,
        right: left + wide,
        bottom: top + high,
    }
}
