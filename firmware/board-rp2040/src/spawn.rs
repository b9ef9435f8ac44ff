//! Starting tasks.

use embassy_executor::{SendSpawner, SpawnError, SpawnToken, Spawner};

use crate::fault;

type Spawned<S> = Result<SpawnToken<S>, SpawnError>;

/// Every task is spawned once and has its own storage: a refusal is a bug in `main`, and the
/// watchdog's task, spawned first, would hide it. So it stops the firmware.
pub(crate) fn spawn<S>(spawner: Spawner, task: Spawned<S>) {
    match task {
        Ok(task) => spawner.spawn(task),
        Err(_) => fault::stop(line!()),
    }
}

/// The same on an interrupt executor.
pub(crate) fn send_spawn<S: Send>(spawner: SendSpawner, task: Spawned<S>) {
    match task {
        Ok(task) => spawner.spawn(task),
        Err(_) => fault::stop(line!()),
    }
}
