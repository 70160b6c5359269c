//! The table of all addresses: what each does, and the role that it needs. There is no other way to add one.

use super::Shared;
use axum::Router;
use axum::handler::Handler;
use axum::http::Method;
use axum::routing::{MethodRouter, get, post};
use std::sync::Arc;
use view::pages::Role;

/// Who may ask something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Need {
    /// Anyone, known or not.
    Anyone,
    /// Whoever has at least this role.
    Role(Role),
}

impl From<Role> for Need {
    fn from(role: Role) -> Need {
        Need::Role(role)
    }
}

/// One address, as it is in the table.
#[derive(Debug, Clone)]
pub struct Way {
    /// How it is asked.
    pub method: Method,
    /// Its path, with `{name}` and `{*rest}` for what varies.
    pub path: &'static str,
    /// Who may ask it.
    pub need: Need,
    /// Bytes of its body at most.
    pub(in crate::serve) most: usize,
}

/// Handlers by their addresses, and the table of what each needs.
#[derive(Default)]
pub(super) struct Ways {
    router: Router<Arc<Shared>>,
    table: Vec<Way>,
}

impl Ways {
    /// An address to be read.
    pub(super) fn read<T: 'static>(
        self,
        need: impl Into<Need>,
        path: &'static str,
        handler: impl Handler<T, Arc<Shared>>,
    ) -> Ways {
        self.way(Way { method: Method::GET, path, need: need.into(), most: 0 }, get(handler))
    }

    /// An address that is sent a body of so many bytes at most, and changes something.
    pub(super) fn sent<T: 'static>(
        self,
        need: impl Into<Need>,
        path: &'static str,
        most: usize,
        handler: impl Handler<T, Arc<Shared>>,
    ) -> Ways {
        self.way(Way { method: Method::POST, path, need: need.into(), most }, post(handler))
    }

    fn way(mut self, way: Way, handler: MethodRouter<Arc<Shared>>) -> Ways {
        self.router = self.router.route(way.path, handler);
        self.table.push(way);
        self
    }

    /// The handlers, and the table.
    pub(super) fn parts(self) -> (Router<Arc<Shared>>, Vec<Way>) {
        (self.router, self.table)
    }
}
