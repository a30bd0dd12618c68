//! Compares two quotes: what was added, removed, changed, and what each change costs, tying to the cent.
