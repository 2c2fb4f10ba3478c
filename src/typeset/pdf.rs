//! A sheet as PDF, by a library and without a browser: text that can be selected, fonts inside, figures that lead to
//! where they come from, tags for screen readers.
//!
//! Units here are points, 72 to the inch, with y downwards from the page's upper edge.

use super::document::{Document, FigureId};
use super::font_set::FontSet;
use super::layout::{self, Layout, Layouter, Op, Place};
use krilla::action::{Action, LinkAction};
use krilla::annotation::{Annotation, LinkAnnotation, Target};
use krilla::color::luma;
use krilla::destination::{NamedDestination, XyzDestination};
use krilla::geom::{PathBuilder, Point, Rect, Size, Transform};
use krilla::image::Image;
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{ArtifactType, ContentTag, Identifier, Node, Tag, TagGroup, TagTree};

/// A paper size.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Paper {
    /// 8 1/2 × 11 in.
    #[default]
    Letter,
    /// 210 × 297 mm.
    A4,
}

/// Why no PDF came out.
#[derive(Debug, thiserror::Error)]
#[error("The PDF of the sheet “{sheet}” could not be made: {why}.")]
pub struct PdfError {
    /// Which sheet.
    pub sheet: &'static str,
    /// What the library says.
    pub why: String,
}

/// The whole file.
///
/// # Errors
/// Where the PDF library refuses it.
pub fn write(document: &Document, paper: Paper) -> Result<Vec<u8>, PdfError> {
    let faces = FontSet::new();
    let layout = Layouter::new(&faces, document, paper).layout();
    print(document, &layout, &faces).map_err(|why| PdfError {
        sheet: document.name,
        why,
    })
}

/// How many pages it takes.
pub fn pages(document: &Document, paper: Paper) -> usize {
    let faces = FontSet::new();
    let layout = Layouter::new(&faces, document, paper).layout();
    layout.pages.len()
}

fn print(document: &Document, layout: &Layout, faces: &FontSet) -> Result<Vec<u8>, String> {
    let mut pdf = krilla::Document::new();
    let mut leaves: Vec<Vec<Identifier>> = vec![Vec::new(); layout.tree.len()];
    for (number, ops) in layout.pages.iter().enumerate() {
        let settings =
            PageSettings::from_wh(layout.width, layout.height).ok_or("the paper has no size")?;
        let mut page = pdf.start_page_with(settings);
        for (_, [left, top, right, bottom], figure) in
            layout.links.iter().filter(|(on, ..)| *on == number)
        {
            let target = match (layout.targets.get(figure), document.explained_in) {
                (Some(place), _) => Target::Destination(destination(*place).into()),
                (None, Some(other)) => {
                    let uri = format!("{other}.pdf#{}", anchor(*figure));
                    Target::Action(Action::Link(LinkAction::new(uri)))
                }
                (None, None) => continue,
            };
            let Some(area) = Rect::from_ltrb(*left, *top, *right, *bottom) else {
                continue;
            };
            let link = LinkAnnotation::new(area, target);
            page.add_annotation(Annotation::new_link(link, None));
        }
        let mut surface = page.surface();
        let mut at = 0;
        while at < ops.len() {
            let element = ops[at].0;
            let tag = match element {
                Some(_) => ContentTag::Other,
                None => {
                    ContentTag::Artifact(krilla::tagging::Artifact::with_kind(ArtifactType::Other))
                }
            };
            let leaf = surface.start_tagged(tag);
            while at < ops.len() && ops[at].0 == element {
                draw(&mut surface, &ops[at].1, faces)?;
                at += 1;
            }
            surface.end_tagged();
            if let Some(element) = element {
                leaves[element].push(leaf);
            }
        }
        surface.finish();
        page.finish();
    }
    for (figure, place) in &layout.targets {
        let named = NamedDestination::new(anchor(*figure), destination(*place));
        pdf.register_named_destination(named)
            .ok_or("two figures have one name")?;
    }
    let mut outline = Outline::new();
    for (title, place) in &layout.sections {
        outline.push_child(OutlineNode::new(title.clone(), destination(*place)));
    }
    pdf.set_outline(outline);
    pdf.set_tag_tree(tags(document, layout, leaves));
    let job = document.head.under.first().map_or("", String::as_str);
    pdf.set_metadata(
        Metadata::new()
            .title(format!("{} – {job}", document.head.title))
            .language(document.language.code().to_owned())
            .creator(format!("joistlight {}", env!("CARGO_PKG_VERSION"))),
    );
    pdf.finish().map_err(|error| format!("{error:?}"))
}

fn destination(place: Place) -> XyzDestination {
    XyzDestination::new(place.page, Point::from_xy(0.0, (place.y - 6.0).max(0.0)))
}

/// The tree of elements for screen readers, in the order in which they were layout.
fn tags(document: &Document, layout: &Layout, leaves: Vec<Vec<Identifier>>) -> TagTree {
    let mut children: Vec<Vec<usize>> = vec![Vec::new(); layout.tree.len()];
    let mut tops = Vec::new();
    for (index, branch) in layout.tree.iter().enumerate() {
        match branch.parent {
            Some(parent) => children[parent].push(index),
            None => tops.push(index),
        }
    }
    let mut tree = TagTree::new().with_lang(Some(document.language.code().to_owned()));
    for top in tops {
        if let Some(group) = group(top, layout, &children, &leaves) {
            tree.push(group);
        }
    }
    tree
}

/// One element with all that stands in it; nothing where it is empty.
fn group(
    at: usize,
    layout: &Layout,
    children: &[Vec<usize>],
    leaves: &[Vec<Identifier>],
) -> Option<TagGroup> {
    use super::layout::Element;
    use krilla::tagging::{ListNumbering, TableHeaderScope};
    use std::num::NonZeroU16;
    let second = NonZeroU16::MIN.saturating_add(1);
    let mut inner: Vec<Node> = leaves[at].iter().map(|it| Node::Leaf(*it)).collect();
    inner.extend(
        children[at]
            .iter()
            .filter_map(|child| group(*child, layout, children, leaves))
            .map(Node::Group),
    );
    if inner.is_empty() {
        return None;
    }
    Some(match &layout.tree[at].element {
        Element::Title => with(Tag::Hn(NonZeroU16::MIN, None).into(), inner),
        Element::Heading => with(Tag::Hn(second, None).into(), inner),
        Element::Paragraph => with(Tag::P.into(), inner),
        Element::List => with(Tag::L(ListNumbering::None).into(), inner),
        Element::Item => with(
            Tag::LI.into(),
            vec![Node::Group(with(Tag::LBody.into(), inner))],
        ),
        Element::Table => with(Tag::Table.into(), inner),
        Element::Row => with(Tag::TR.into(), inner),
        Element::HeadCell => with(Tag::TH(TableHeaderScope::Column).into(), inner),
        Element::Cell => with(Tag::TD.into(), inner),
        Element::Figure(title) => with(Tag::Figure(Some(title.clone())).into(), inner),
    })
}

fn with(tag: krilla::tagging::TagKind, inner: Vec<Node>) -> TagGroup {
    TagGroup::with_children(tag, inner)
}

fn paint(grey: layout::Grey) -> Fill {
    Fill {
        paint: luma::Color::new(grey).into(),
        opacity: NormalizedF32::ONE,
        rule: Default::default(),
    }
}

fn draw(surface: &mut Surface, op: &Op, faces: &FontSet) -> Result<(), String> {
    match op {
        Op::Text {
            x,
            y,
            size,
            strong,
            text,
            upright,
        } => {
            let face = faces.face(*strong);
            let glyphs = face.glyphs(text);
            surface.set_stroke(None);
            surface.set_fill(Some(paint(0)));
            let put = |at: Point, surface: &mut Surface| {
                surface.draw_glyphs(at, &glyphs, face.font.clone(), text, *size, false);
            };
            if *upright {
                // Turned a quarter to the left about its start.
                surface.push_transform(&Transform::from_row(0.0, -1.0, 1.0, 0.0, *x, *y));
                put(Point::from_xy(0.0, 0.0), surface);
                surface.pop();
            } else {
                put(Point::from_xy(*x, *y), surface);
            }
        }
        Op::Path {
            points,
            closed,
            stroke,
            fill,
        } => {
            let mut path = PathBuilder::new();
            for (index, (x, y)) in points.iter().enumerate() {
                if index == 0 {
                    path.move_to(*x, *y);
                } else {
                    path.line_to(*x, *y);
                }
            }
            if *closed {
                path.close();
            }
            surface.set_fill(fill.map(paint));
            surface.set_stroke(stroke.as_ref().map(|(grey, width, dashes)| Stroke {
                paint: paint(*grey).paint,
                width: *width,
                dash: (!dashes.is_empty()).then(|| StrokeDash {
                    array: dashes.clone(),
                    offset: 0.0,
                }),
                ..Stroke::default()
            }));
            if let Some(path) = path.finish() {
                surface.draw_path(&path);
            }
        }
        Op::Ring {
            x,
            y,
            r,
            width,
            fill,
        } => {
            // Four quarters of a circle, each a cubic curve.
            let k = r * 0.552_284_8;
            let mut path = PathBuilder::new();
            path.move_to(x + r, *y);
            path.cubic_to(x + r, y + k, x + k, y + r, *x, y + r);
            path.cubic_to(x - k, y + r, x - r, y + k, x - r, *y);
            path.cubic_to(x - r, y - k, x - k, y - r, *x, y - r);
            path.cubic_to(x + k, y - r, x + r, y - k, x + r, *y);
            path.close();
            surface.set_fill(fill.map(paint));
            surface.set_stroke(Some(Stroke {
                paint: paint(0).paint,
                width: *width,
                ..Stroke::default()
            }));
            if let Some(path) = path.finish() {
                surface.draw_path(&path);
            }
        }
        Op::Image {
            left,
            top,
            width,
            height,
            photo,
        } => {
            let image = Image::from_jpeg(photo.jpeg.as_ref().clone().into(), false)?;
            let size = Size::from_wh(*width, *height).ok_or("a photo has no size")?;
            surface.push_transform(&Transform::from_translate(*left, *top));
            surface.draw_image(image, size);
            surface.pop();
        }
    }
    Ok(())
}

/// The name by which links find a figure's entry.
pub(super) fn anchor(figure: FigureId) -> String {
    format!("figure-{}", figure.0)
}
