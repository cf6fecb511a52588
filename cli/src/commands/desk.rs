//! `springline desk`: a page on this machine for one folder of plans.

use std::io::{IsTerminal as _, Write as _};
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use std::process::ExitCode;
use std::sync::Arc;

use crate::args::DeskArgs;
use crate::desk::{self, Desk, PickTask, PlansFolder, Running};
use crate::problem::Problem;
use crate::today;

pub fn run(args: &DeskArgs) -> Result<ExitCode, Problem> {
    let folder = PlansFolder::open(&args.folder)?;
    host(folder, None, &Invitation { port: args.port, quietly: args.no_browser })
}

/// How a browser is let in.
pub struct Invitation {
    pub port: u16,
    /// No browser is opened.
    pub quietly: bool,
}

/// Serves the desk of a folder, or the page for the points of one file in it, until the program is asked to end.
pub fn host(
    folder: PlansFolder,
    task: Option<PickTask>,
    invitation: &Invitation,
) -> Result<ExitCode, Problem> {
    let state = desk::state_folder(&folder, task.as_ref()).map_err(|e| Problem::no_state(&e))?;
    let failed = |e: std::io::Error| Problem::serving(&e);
    let running = match Running::claim(&state).map_err(|e| Problem::no_state(&e))? {
        Ok(running) => running,
        Err(port) => {
            let about = task.map_or_else(|| folder.name(), |task| task.points);
            crate::tell!("A desk for {about} runs already; this is its page.");
            invite(&state, port, invitation.quietly)?;
            return Ok(ExitCode::SUCCESS);
        }
    };
    let desk = Desk::new(folder, &state, today::today()?, task);
    let runtime = tokio::runtime::Builder::new_multi_thread()
        .worker_threads(2)
        .enable_all()
        .build()
        .map_err(failed)?;
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, invitation.port));
    runtime.block_on(async {
        let listener = tokio::net::TcpListener::bind(address).await.map_err(failed)?;
        let port = listener.local_addr().map_err(failed)?.port();
        running.say_where(&state, port).map_err(|e| Problem::no_state(&e))?;
        invite(&state, port, invitation.quietly)?;
        invite_on_enter(state.clone(), port);
        let following = desk.clone();
        std::thread::spawn(move || desk::follow(&following));
        tokio::select! {
            served = desk::serve(listener, desk.clone()) => served.map_err(failed),
            () = asked_to_end() => Ok(()),
        }
    })?;
    desk.ending.send_replace(true);
    runtime.block_on(async {
        // Pages hear of it, and unsaved text comes to rest.
        tokio::time::sleep(std::time::Duration::from_millis(300)).await;
    });
    desk.keep_unsaved();
    runtime.shutdown_background();
    tell_unsaved(&desk);
    Ok(ExitCode::SUCCESS)
}

/// Opens the page in a browser, and says where it is: no browser may have come up.
fn invite(state: &Path, port: u16, quietly: bool) -> Result<(), Problem> {
    let failed = |e: std::io::Error| Problem::serving(&e);
    if !quietly {
        let word = desk::word_for(state).map_err(failed)?;
        let file = desk::leading_file(state, &desk::address(port, &word)).map_err(failed)?;
        // Without a browser there is still the address.
        let _ = open::that_detached(&file);
        std::thread::spawn(move || {
            std::thread::sleep(std::time::Duration::from_secs(30));
            let _ = std::fs::remove_file(file);
        });
    }
    say_address(state, port)
}

fn say_address(state: &Path, port: u16) -> Result<(), Problem> {
    let word = desk::word_for(state).map_err(|e| Problem::serving(&e))?;
    let mut out = anstream::stdout();
    // The parent may have closed its end; the page is served all the same.
    let _ = writeln!(
        out,
        "{}\nOpens the page once, within half a minute. Enter: a new address. Ctrl-C: end.",
        desk::address(port, &word)
    );
    let _ = out.flush();
    Ok(())
}

/// At a terminal, each press of Enter gives an address.
fn invite_on_enter(state: std::path::PathBuf, port: u16) {
    if !std::io::stdin().is_terminal() {
        return;
    }
    std::thread::spawn(move || {
        for line in std::io::stdin().lines() {
            if line.is_err() || say_address(&state, port).is_err() {
                return;
            }
        }
    });
}

async fn asked_to_end() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut ended) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = tokio::signal::ctrl_c() => {}
                _ = ended.recv() => {}
            }
            return;
        }
    }
    let _ = tokio::signal::ctrl_c().await;
}

fn tell_unsaved(desk: &Arc<Desk>) {
    for name in desk.journal.names() {
        crate::tell!(
            "{name} has text that is not saved; it will be there when the page is opened again."
        );
    }
}
