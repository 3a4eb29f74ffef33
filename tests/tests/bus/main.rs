//! A luminaire on a bus: tables, transitions, and what holds for any frames.

mod arc_levels;
mod asked_time;
mod beat;
mod colours;
mod console;
mod console_fades;
mod control_gear;
mod counted;
mod fade_tables;
mod faults;
mod frame_queue;
mod frames;
mod mailbox_targets;
mod packet_tables;
mod packets;
mod palette;
mod random_frames;
mod random_luminaire;
mod random_packets;
mod sequences;
mod states;
mod stored;
mod transitions;
mod twice;
