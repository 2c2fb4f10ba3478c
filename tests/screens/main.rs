//! The window as a person meets it: real taps and keys, real pixels, no display.

mod driver;
mod house;
mod theme;
mod widgets;
