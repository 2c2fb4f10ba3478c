//! The window as a person meets it: real taps and keys, real pixels, no display.

mod capture;
mod drawing;
mod driver;
mod faults;
mod gallery;
mod gloves;
mod house;
mod ink;
mod keyboard;
mod look;
mod office_window;
mod phone;
mod pictures;
mod ready;
mod settings;
mod taps;
mod theme;
mod visit;
mod walk;
mod widgets;
