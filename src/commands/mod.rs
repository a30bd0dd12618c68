//! The commands: the only place that calls rooms in sequence. One file per command.
