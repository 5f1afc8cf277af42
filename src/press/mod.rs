//! Colour on paper: what a print shows, and which values to print.
