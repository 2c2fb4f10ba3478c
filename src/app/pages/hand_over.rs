//! Writing the bundle.

use crate::app::session::Session;
use crate::app::{Handle, MainWindow};

pub fn connect(_window: &MainWindow, _app: &Handle) {}

pub fn show(_window: &MainWindow, _session: &Session) {}
