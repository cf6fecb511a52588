"""The job of examples/cluster on invented practices, thrice: let be, with a worker killed in the middle, and the
program alone on the same cases. All three must give the same table. Prints what it has seen as JSON.

    python disturbed.py JOB PROGRAM --practices 2 --cases 100
"""

import argparse
import hashlib
import importlib.util
import json
import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from types import ModuleType
from typing import Any

from distributed import Client, LocalCluster

DAY = "2026-11-25"


def load(path: Path) -> ModuleType:
    """The job is a script; workers of their own processes find it by this name."""
    sys.path.insert(0, str(path.parent))
    spec = importlib.util.spec_from_file_location(path.stem, path)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[path.stem] = module
    spec.loader.exec_module(module)
    return module


class Killer:
    """Kills a worker that is at work as soon as a third of the batches is done."""

    def __init__(self, client: Client, batches: int) -> None:
        self.client, self.after, self.done = client, batches // 3, 0
        self.first = set(client.run(os.getpid).values())
        self.killed: int | None = None
        self.had: list[str] = []

    def __call__(self, _: object) -> None:
        self.done += 1
        if self.killed is not None or self.done < self.after:
            return
        processes = self.client.run(os.getpid)
        for worker, tasks in self.client.processing().items():
            if tasks and worker in processes:
                self.killed, self.had = processes[worker], [str(task) for task in tasks]
                os.kill(self.killed, signal.SIGKILL)
                return


def job(steps: ModuleType, args: argparse.Namespace, cases: Path, rows: Path, kill: bool) -> dict[str, Any]:
    batches = len(list(steps.batches(cases, args.batch)))
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, silence_logs=50) as cluster,
        Client(cluster) as client,
    ):
        killer = Killer(client, batches)
        begun = time.monotonic()
        each = killer if kill else (lambda _: None)
        options = {"day": DAY, "size": args.batch, "named": str(args.program), "each": each}
        parts = steps.run(client, cases, rows, **options)
        told: dict[str, Any] = {"seconds": round(time.monotonic() - begun, 1), "parts": len(parts)}
        told["rows"] = sum(part.rows for part in parts)
        if kill:
            by = {part.worker for part in parts}
            told |= {"killed": killer.killed is not None, "tasks_given_out_again": len(killer.had)}
            told["parts_by_a_worker_started_anew"] = sum(part.worker not in killer.first for part in parts)
            told["workers_seen"] = len(by)
    return told


def alone(args: argparse.Namespace, cases: Path, lines: Path) -> dict[str, Any]:
    begun = time.monotonic()
    env = {**os.environ, "SPRINGLINE_TODAY": DAY}
    for practice in sorted(cases.iterdir()):
        folder = lines / f"folder={practice.name}%2Fcases"
        folder.mkdir(parents=True)
        command = [args.program, "practice", "steps", practice, "--format", "jsonl", "--no-cache"]
        with open(folder / "steps.jsonl", "wb") as out:
            subprocess.run(command, stdout=out, env=env, check=True)
    return {"seconds": round(time.monotonic() - begun, 1)}


def unreadable(steps: ModuleType, args: argparse.Namespace, work: Path) -> dict[str, Any]:
    """A case that cannot be read is told, and takes no other with it."""
    file = work / "unreadable.spring"
    file.write_text("springline 1\ncase {\n")
    part = steps.judge(steps.Batch("unreadable", 0, (str(file),)), work / "d", DAY, str(args.program))
    return {"code": part.code, "told": "unreadable.spring" in part.told, "rows": part.rows}


def prints(rows: Path) -> dict[str, str]:
    files = sorted(path for path in rows.rglob("*") if path.is_file())
    return {str(path.relative_to(rows)): hashlib.sha256(path.read_bytes()).hexdigest() for path in files}


def main() -> None:
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("job", type=Path)
    asked.add_argument("program", type=Path)
    asked.add_argument("--practices", type=int, default=1)
    asked.add_argument("--cases", type=int, required=True, help="of each practice")
    asked.add_argument("--batch", type=int, default=50)
    args = asked.parse_args()
    args.program = args.program.resolve(strict=True)
    steps = load(args.job.resolve(strict=True))
    with tempfile.TemporaryDirectory() as work:
        cases, undisturbed, disturbed, lines = (Path(work) / name for name in ("cases", "a", "b", "c"))
        cases.mkdir()
        for seed in range(1, args.practices + 1):
            command = [
                args.program,
                "new",
                "--demo",
                args.cases,
                "--seed",
                seed,
                "--folder",
                cases / f"practice-{seed}",
            ]
            env = {**os.environ, "SPRINGLINE_TODAY": DAY}
            subprocess.run([str(word) for word in command], env=env, check=True, stdout=subprocess.DEVNULL)
        told: dict[str, Any] = {"cases": args.practices * args.cases}
        told["undisturbed"] = job(steps, args, cases, undisturbed, kill=False)
        # What an earlier run for other cases, and a killed worker, might have left.
        for name in ("part-00000.parquet", ".killed.part"):
            left = disturbed / "folder=gone" / name
            left.parent.mkdir(parents=True, exist_ok=True)
            left.write_bytes(b"left")
        told["disturbed"] = job(steps, args, cases, disturbed, kill=True)
        told["alone"] = alone(args, cases, lines)

        told["same_files"] = prints(undisturbed) == prints(disturbed)
        told["bytes"] = sum(path.stat().st_size for path in disturbed.rglob("*.parquet"))
        table = steps.rows_of(disturbed)
        single = steps.rows_in("read_json", f"{lines}/folder=*/steps.jsonl")
        ordered = f"select {', '.join(table.columns)} from steps order by folder, chart, arch, number"
        rows = steps.ask(table, ordered).fetchall()
        told["same_rows_alone"] = rows == steps.ask(single, ordered).fetchall()
        told["rows"] = len(rows)
        told["same_answers_alone"] = steps.answers(table) == steps.answers(single)
        told["answers"] = {name: rows for name, (_, rows) in steps.answers(table).items()}
        told["unreadable"] = unreadable(steps, args, Path(work))
    print(json.dumps(told, indent=1, default=str))


if __name__ == "__main__":
    main()
