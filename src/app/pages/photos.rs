//! The pictures.

use super::{Shown, update};
use crate::app::session::{Pixels, Session, View};
use crate::app::{Handle, MainWindow, PhotoLine, PhotosAdapter, act};
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
    let lines = session
        .photo_list()
        .into_iter()
        .map(|photo| line(session, photo, shown))
        .collect();
    update(adapter.get_photos(), lines, |rows| adapter.set_photos(rows));
    let look = &session.photos().look;
    if look.is_some() != adapter.get_looking() {
        adapter.set_look(look.as_ref().map_or_else(Image::default, image));
        adapter.set_looking(look.is_some());
    }
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
    }
}

fn image(pixels: &Pixels) -> Image {
    Image::from_rgb8(SharedPixelBuffer::<Rgb8Pixel>::clone_from_slice(
        &pixels.rgb,
        pixels.width,
        pixels.height,
    ))
}
