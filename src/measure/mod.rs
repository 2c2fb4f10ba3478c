//! Lengths as read off a tape, and the other quantities of the trade, typed.
