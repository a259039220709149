//! Reading what people write down: formats, the starter kit, and every way a
//! kit's files can be damaged.

mod arbitrary;
mod damage;
mod follow_ons;
mod formats;
mod given;
mod kinds;
mod lenses;
mod marks;
mod paperwork;
mod put_lens;
mod put_marks;
mod reference;
mod settings;
mod starter;
mod take;
mod understood;
