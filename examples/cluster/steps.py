"""Every step of every case of many practices as one table in Parquet, made by many workers.

    python steps.py CASES ROWS                              # workers on this machine
    python steps.py CASES ROWS --scheduler tcp://HOST:8786  # those of a cluster

CASES is a folder of practices, ROWS the folder for the table; every worker must see both under these names.
"""

import argparse
import datetime
import io
import os
import shutil
import subprocess
import sys
import sysconfig
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

import duckdb
import pyarrow as pa
import pyarrow.json
import pyarrow.parquet
from distributed import Client, LocalCluster, as_completed

# The columns of `practice steps --format jsonl`, lang/docs/schemas/step-row.json. They are named here and not guessed
# from the rows, so that a part in which nobody has a date has the same columns as all others.
DAYS = ("start", "date_in", "date_out")
COLUMNS = pa.schema(
    [(name, pa.string()) for name in ("schema", "chart", "house", "doctor", "arch", "step", "wire", "note")]
    + [(name, pa.bool_()) for name in ("growing", "may_print", "begun", "recorded")]
    + [(name, pa.int64()) for name in ("visits", "errors", "warnings", "number", "peak_tooth", "sustained_tooth")]
    + [(name, pa.timestamp("s")) for name in DAYS]
    + [(f"passive_{which}_weeks", pa.float64()) for which in ("early", "median", "late")]
    + [(name, pa.float64()) for name in ("peak_g", "sustained_g", "irregularity_in_mm", "irregularity_out_mm")]
    + [(name, pa.float64()) for name in ("room_missing_mm", "incisors_forward_mm")]
)


@dataclass(frozen=True)
class Batch:
    """Some cases of one folder: what a worker is given at once."""

    folder: str
    number: int
    files: tuple[str, ...]

    def part(self) -> Path:
        """Its place in the table, which says nothing of who made it or when: made twice, it is the same file."""
        return Path(f"folder={quote(self.folder, safe='')}") / f"part-{self.number:05}.parquet"


@dataclass(frozen=True)
class Part:
    """What has become of a batch."""

    path: Path
    rows: int
    program: str
    worker: int
    code: int
    told: str


def batches(cases: Path, size: int) -> Iterator[Batch]:
    """The cases below a folder as the program itself would find them: nothing hidden, no links."""
    for at, folders, names in os.walk(cases):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        folder = Path(at)
        found = sorted(name for name in names if name.endswith(".spring") and not name.startswith("."))
        plain = [str(folder / name) for name in found if not (folder / name).is_symlink()]
        for number, first in enumerate(range(0, len(plain), size)):
            yield Batch(folder.relative_to(cases).as_posix(), number, tuple(plain[first : first + size]))


def program() -> str:
    """The program that came with this Python environment, on whichever machine that is."""
    beside = Path(sysconfig.get_path("scripts")) / "springline"
    found = str(beside) if beside.exists() else shutil.which("springline")
    if found is None:
        raise FileNotFoundError("the wheel of springline is not installed on this worker")
    return found


def judge(batch: Batch, table: Path, day: str, named: str | None) -> Part:
    """Has the program judge a batch and puts its rows into the table: whole, or not at all."""
    springline = named or program()
    version = subprocess.run([springline, "--version"], capture_output=True, text=True, check=True).stdout.strip()
    # One thread: there is a worker for each core. Nothing is remembered, because the day is part of every result.
    env = {**os.environ, "SPRINGLINE_TODAY": day, "RAYON_NUM_THREADS": "1"}
    command = [springline, "practice", "steps", "--format", "jsonl", "--no-cache", *batch.files]
    done = subprocess.run(command, capture_output=True, env=env)
    told = done.stderr.decode(errors="replace")
    # 1: a case cannot be read; 2: a file cannot. The others were judged all the same.
    if done.returncode not in (0, 1, 2):
        raise RuntimeError(f"{springline} ended with {done.returncode} on {batch.folder}: {told}")
    rows = read(done.stdout)
    write(rows, table / batch.part())
    return Part(batch.part(), rows.num_rows, version, os.getpid(), done.returncode, told)


def read(lines: bytes) -> pa.Table:
    """Rows as a table. A column that is not known here is an error: none gets lost unnoticed."""
    if not lines:
        rows = COLUMNS.empty_table()
    else:
        rows = pyarrow.json.read_json(
            io.BytesIO(lines),
            # One block: a block that begins with another row would be one more place for surprises.
            read_options=pyarrow.json.ReadOptions(block_size=len(lines) + 1, use_threads=False),
            parse_options=pyarrow.json.ParseOptions(explicit_schema=COLUMNS, unexpected_field_behavior="error"),
        )
    days = [pa.field(f.name, pa.date32()) if f.name in DAYS else f for f in COLUMNS]
    return rows.select(COLUMNS.names).cast(pa.schema(days))


def write(rows: pa.Table, path: Path) -> None:
    """A worker that is killed here leaves a file whose name begins with a dot, which nobody reads."""
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, beside = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
    with os.fdopen(handle, "wb") as file:
        pyarrow.parquet.write_table(rows, file)
        file.flush()
        os.fsync(file.fileno())
    os.chmod(beside, 0o644)
    os.replace(beside, path)


def run(
    client: Client,
    cases: Path,
    table: Path,
    *,
    day: str,
    size: int,
    named: str | None = None,
    each: Callable[[Part], None] = lambda _: None,
) -> list[Part]:
    """Gives out all batches and waits for them. Dask gives out again what a lost worker had."""
    work = list(batches(cases, size))
    # Not pure: the same call again has to write the file again.
    futures = client.map(judge, work, table=table, day=day, named=named, pure=False, retries=2)
    parts = []
    for _, part in as_completed(futures, with_results=True):
        parts.append(part)
        each(part)
    versions = {part.program for part in parts}
    if len(versions) > 1:
        raise RuntimeError(f"the workers have different programs: {', '.join(sorted(versions))}")
    tidy(table, {part.path for part in parts})
    return sorted(parts, key=lambda part: part.path)


def tidy(table: Path, made: set[Path]) -> None:
    """Takes away what an earlier run has put here for cases that are gone, and what killed workers have left."""
    for path in [*table.glob("folder=*/part-*.parquet"), *table.glob("folder=*/.*.part")]:
        if path.relative_to(table) not in made:
            path.unlink()


def questions() -> Iterator[tuple[str, str]]:
    """Name and text of each question in questions.sql."""
    for text in Path(__file__).with_name("questions.sql").read_text().split(";"):
        if text.strip():
            name, _, query = text.strip().partition("\n")
            yield name.removeprefix("-- "), query


def ask(rows: duckdb.DuckDBPyRelation, query: str) -> duckdb.DuckDBPyRelation:
    """A query in which the rows are called `steps`."""
    answer = rows.query("steps", query)
    assert answer is not None, f"no question: {query}"
    return answer


def answers(rows: duckdb.DuckDBPyRelation) -> dict[str, tuple[list[str], list[tuple[object, ...]]]]:
    """The answers of some rows: by question the names of the columns, and the rows."""
    found = {}
    for name, query in questions():
        answer = ask(rows, query)
        found[name] = (answer.columns, answer.fetchall())
    return found


def rows_of(table: Path) -> duckdb.DuckDBPyRelation:
    return rows_in("read_parquet", f"{table}/folder=*/part-*.parquet")


def rows_in(reader: str, files: str) -> duckdb.DuckDBPyRelation:
    # A folder called 007 stays one.
    query = f"select * from {reader}(?, hive_partitioning = true, hive_types_autocast = false)"
    found = duckdb.sql(query, params=[files])
    assert found is not None
    return found


def show(table: Path) -> None:
    for name, (columns, rows) in answers(rows_of(table)).items():
        print(f"\n{name}\n")
        for cells in [columns, ["---"] * len(columns), *rows]:
            print("| " + " | ".join(str(cell) for cell in cells) + " |")


def main() -> int:
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("cases", type=Path)
    asked.add_argument("rows", type=Path)
    asked.add_argument("--scheduler", help="address of a running Dask scheduler")
    asked.add_argument("--workers", type=int, default=os.cpu_count(), help="without one: workers on this machine")
    asked.add_argument("--batch", type=int, default=50, help="cases that a worker is given at once")
    asked.add_argument("--today", default=datetime.date.today().isoformat(), help="the day to take for today")
    asked.add_argument("--program", help="a springline other than the one of the wheel")
    args = asked.parse_args()
    cases, table = args.cases.resolve(strict=True), args.rows.resolve()
    # The day is fixed once: a job that runs past midnight, or in two time zones, has one day.
    options = {"day": args.today, "size": args.batch, "named": args.program}
    if args.scheduler:
        with Client(args.scheduler) as client:
            parts = run(client, cases, table, **options)
    else:
        with LocalCluster(n_workers=args.workers, threads_per_worker=1, dashboard_address=None) as cluster:
            with Client(cluster) as client:
                parts = run(client, cases, table, **options)
    if not parts:
        print(f"no case below {cases}", file=sys.stderr)
        return 2
    for part in parts:
        if part.code:
            print(f"{part.path}: {part.told}", file=sys.stderr, end="")
    print(f"{sum(part.rows for part in parts)} rows in {len(parts)} parts, by {parts[0].program}")
    show(table)
    return max(part.code for part in parts)


if __name__ == "__main__":
    sys.exit(main())
