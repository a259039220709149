//! Reading what people write down: formats, the starter kit, and every way a
//! kit's files can be damaged.

mod given;
mod starter;
