//! The pictures.

use super::{Shown, update};
use crate::app::session::{Pixels, Session, View};
use crate::app::strokes;
use crate::app::{Handle, MainWindow, PhotoLine, PhotoRow, PhotoRowKind, PhotosAdapter, act};
use crate::rules::Say;
use crate::survey::{ItemId, Photo};
use slint::{ComponentHandle, Image, Rgb8Pixel, SharedPixelBuffer, SharedString};
use std::path::PathBuf;

pub fn connect(window: &MainWindow, app: &Handle) {
    let photos = window.global::<PhotosAdapter>();
    let handle = app.clone();
    photos.on_choose_subject(move || act(&handle, Session::open_subjects));
    let handle = app.clone();
    photos.on_choose(move || act(&handle, Session::choose_picture));
    let handle = app.clone();
    photos.on_take_picture(move || act(&handle, Session::take_picture));
    let handle = app.clone();
    photos.on_take_file(move |path| {
        let path = PathBuf::from(path.trim());
        act(&handle, move |session| session.take_file(&path));
    });
    let handle = app.clone();
    photos.on_open(move |key| on_photo(&handle, &key, Session::look_at));
    let handle = app.clone();
    photos.on_remove(move |key| on_photo(&handle, &key, Session::remove_photo));
    let handle = app.clone();
    photos.on_take_needed(move |key| {
        if let Ok(at) = key.parse() {
            act(&handle, move |session| session.take_needed(at));
        }
    });
    let handle = app.clone();
    photos.on_cancel(move || act(&handle, Session::stop_pictures));
    let handle = app.clone();
    photos.on_draw(move |ring, x0, y0, x1, y1| {
        act(&handle, move |session| {
            session.draw_on_picture(ring, (x0, y0), (x1, y1));
        });
    });
    let weak = window.as_weak();
    photos.on_sketch(move |ring, x0, y0, x1, y1| {
        let Some(window) = weak.upgrade() else {
            return SharedString::new();
        };
        let tall = f64::from(window.global::<PhotosAdapter>().get_look_tall());
        let stroke = strokes::stroke(ring, (x0, y0), (x1, y1), tall);
        strokes::lines(&stroke, tall).into()
    });
    let handle = app.clone();
    photos.on_rub_out(move || act(&handle, Session::rub_out));
    let handle = app.clone();
    photos.on_shut(move || act(&handle, Session::look_away));
}

fn on_photo(app: &Handle, key: &SharedString, action: fn(&mut Session, ItemId)) {
    if let Ok(id) = key.parse() {
        act(app, move |session| action(session, ItemId(id)));
    }
}

pub fn show(window: &MainWindow, session: &mut Session, shown: &mut Shown) {
    if session.view() != View::Photos {
        shown.thumbnails.clear();
        return;
    }
    session.want_thumbnails();
    let adapter = window.global::<PhotosAdapter>();
    let reader = session.reader();
    adapter.set_subject(reader.tr(session.tie().subject.label()).into());
    let can = session.abilities();
    adapter.set_camera(can.camera);
    adapter.set_gallery(can.gallery);
    adapter.set_working(session.photos().working > 0);
    adapter.set_trouble(session.photos().trouble.as_str().into());
    let (done, all) = session.photos().progress();
    adapter.set_work(
        reader
            .said(
                &Say::new("Taking pictures in: {done} of {all} done")
                    .with("done", done)
                    .with("all", all),
            )
            .into(),
    );
    #[allow(clippy::cast_precision_loss)]
    adapter.set_progress(done as f32 / all.max(1) as f32);
    let rows = rows(session, shown);
    update(adapter.get_rows(), rows, |rows| adapter.set_rows(rows));
    if let Some((photo, shows)) = session.looked() {
        let tall = tall(photo);
        #[allow(clippy::cast_possible_truncation)]
        adapter.set_look_tall(tall as f32);
        adapter.set_look_lines(strokes::lines(&photo.strokes, tall).into());
        adapter.set_look_shows(shows.into());
    }
    let look = &session.photos().look;
    if look.is_some() != adapter.get_looking() {
        adapter.set_look(look.as_ref().map_or_else(Image::default, image));
        adapter.set_looking(look.is_some());
    }
}

/// Height of a picture to its width.
fn tall(photo: &Photo) -> f64 {
    f64::from(photo.height.max(1)) / f64::from(photo.width.max(1))
}

/// What is needed, then any other picture, then those that are there.
fn rows(session: &Session, shown: &mut Shown) -> Vec<PhotoRow> {
    let reader = session.reader();
    let needed = session.needed_pictures();
    let taken = needed.iter().filter(|(_, it)| it.taken).count();
    let heading = |title: String, detail: String| PhotoRow {
        kind: PhotoRowKind::Heading,
        title: title.into(),
        detail: detail.into(),
        ..PhotoRow::default()
    };
    let mut rows = vec![heading(
        reader.tr("Pictures this house needs"),
        reader.said(
            &Say::new("{taken} of {all} are there")
                .with("taken", taken)
                .with("all", needed.len()),
        ),
    )];
    rows.extend(
        needed
            .iter()
            .filter(|(_, picture)| !picture.taken)
            .map(|(at, picture)| PhotoRow {
                kind: PhotoRowKind::Needed,
                key: at.to_string().into(),
                title: session.needed_title(picture).into(),
                detail: reader.tr(picture.why).into(),
                ..PhotoRow::default()
            }),
    );
    let end = rows.len() - 1;
    if let Some(first) = rows.get_mut(1) {
        first.first = true;
    }
    rows[end].last = true;
    rows.push(heading(reader.tr("Any other picture"), String::new()));
    rows.push(PhotoRow {
        kind: PhotoRowKind::Free,
        ..PhotoRow::default()
    });
    let photos = session.photo_list();
    let there = match photos.len() {
        0 => {
            reader.tr("No pictures yet. Their place and camera are left out; only the time stays.")
        }
        _ => String::new(),
    };
    rows.push(heading(
        reader.said(&Say::new("Taken: {count}").with("count", photos.len())),
        there,
    ));
    rows.extend(photos.into_iter().map(|photo| PhotoRow {
        kind: PhotoRowKind::Photo,
        photo: line(session, photo, shown),
        ..PhotoRow::default()
    }));
    rows
}

fn line(session: &Session, photo: &Photo, shown: &mut Shown) -> PhotoLine {
    let reader = session.reader();
    let thumb = match session.photos().thumbnails.get(&photo.sha256) {
        Some(Some(pixels)) => shown
            .thumbnails
            .entry(photo.sha256.clone())
            .or_insert_with(|| image(pixels))
            .clone(),
        _ => Image::default(),
    };
    let taken = photo.taken_at.as_deref().map_or_else(
        || reader.tr("time not known"),
        |at| at.get(..16).unwrap_or(at).replace('T', " "),
    );
    PhotoLine {
        key: photo.id.0.to_string().into(),
        shows: session.photo_shows(photo).into(),
        taken: taken.into(),
        thumb,
        lines: strokes::lines(&photo.strokes, tall(photo)).into(),
        #[allow(clippy::cast_possible_truncation)]
        tall: tall(photo) as f32,
    }
}

fn image(pixels: &Pixels) -> Image {
    Image::from_rgb8(SharedPixelBuffer::<Rgb8Pixel>::clone_from_slice(
        &pixels.rgb,
        pixels.width,
        pixels.height,
    ))
}
