//! The tests of this package, as one program.

mod bar_oracle;
mod cut;
mod handbook;
mod materials;
mod station;
mod whirl_life;
mod whirl_oracle;
