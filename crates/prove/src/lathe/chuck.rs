//! The chuck: it takes its time, and what it lets go may be held by nothing.

use super::{Chuck, Lathe, Teller};
use crate::event::{Spot, What};
use model::Length;

impl Lathe<'_> {
    pub(super) fn open_chuck(&mut self, confirmed: bool, spot: Spot, tell: &mut Teller<'_>) {
        self.still_hangs(tell);
        self.step(spot, tell, |lathe| {
            let time = lathe.setup.lathe.as_ref().map_or(0.0, |lathe| lathe.chuck.open.s());
            lathe.set_chuck(true, time, confirmed);
            if lathe.state.gripped.is_none() {
                lathe.state.gripped = lathe.gripped_for_all_that_is_known();
            }
            if lathe.state.gripped.is_none() {
                lathe.state.opened_unheld = Some(spot);
            } else {
                lathe.state.opened_while_on = true;
            }
            What::ChuckOpened
        });
    }

    pub(super) fn close_chuck(&mut self, confirmed: bool, spot: Spot, tell: &mut Teller<'_>) {
        self.step(spot, tell, |lathe| {
            let time = lathe.setup.lathe.as_ref().map_or(0.0, |lathe| lathe.chuck.close.s());
            lathe.set_chuck(false, time, confirmed);
            lathe.state.opened_unheld = None;
            if lathe.state.bar.drawn_since_part != Length::ZERO && lathe.state.pulled_at.is_some() {
                lathe.state.advances += 1;
            }
            What::ChuckClosed
        });
    }

    fn set_chuck(&mut self, open: bool, time: f64, confirmed: bool) {
        let state = &mut self.state;
        if state.chuck.open != open {
            state.chuck = Chuck { open, done_at: state.now + time };
        }
        if confirmed {
            state.now = state.now.max(state.chuck.done_at);
        }
    }
}
