//! Reading what people write down: formats, the starter kit, and every way a
//! kit's files can be damaged.

mod damage;
mod formats;
mod given;
mod starter;
