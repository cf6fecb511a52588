//! `springline preview`: shows the arches in a local browser and follows the file.

use std::io::Write as _;
use std::net::{Ipv4Addr, SocketAddr};
use std::process::ExitCode;

use springline_lang::text::visible;

use crate::args::PreviewArgs;
use crate::preview::{Follower, serve};
use crate::problem::Problem;
use crate::secret::Secret;
use crate::{files, today};

pub fn run(args: &PreviewArgs) -> Result<ExitCode, Problem> {
    if args.file.as_os_str() == "-" || args.file.is_dir() {
        return Err(Problem::usage(
            "The preview follows one file.",
            "Name a case: springline preview cases/sm-0001.spring.",
        ));
    }
    // The first reading is the user's answer to a wrong name; later ones only change the page.
    files::read(&args.file)?;
    let follower = Follower::start(args.file.clone(), today::today()?);
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .map_err(|e| Problem::serving(&e))?;
    runtime.block_on(async {
        // Local only, because cases are private.
        let address = SocketAddr::from((Ipv4Addr::LOCALHOST, args.port));
        let listener =
            tokio::net::TcpListener::bind(address).await.map_err(|e| Problem::serving(&e))?;
        let address = listener.local_addr().map_err(|e| Problem::serving(&e))?;
        let secret = Secret::new().map_err(|e| Problem::serving(&e))?;
        let served = secret.clone();
        let mut out = anstream::stdout();
        // The parent may have closed its end; the page is served all the same.
        let (name, secret) = (args.file.display().to_string(), secret.as_str());
        let name = visible::line(&name);
        let _ = writeln!(out, "http://{address}/{secret}/  shows {name}; press Ctrl-C to stop.");
        let _ = out.flush();
        serve(listener, follower, served).await.map_err(|e| Problem::serving(&e))
    })?;
    Ok(ExitCode::SUCCESS)
}
