"""A wheel around a program that is built already; PyPA's own `wheel pack` writes the archive and its record.

A build backend would compile the program a second time. What it would do beyond that is to say on which machines
the program runs, and that is read from the program here: from what it is linked with, on any system.
"""

import argparse
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

import lief

NAME = "springline"
SUMMARY = "A small plain-text language for orthodontic case plans, with its compiler and language server"


def linux_tags(program: lief.ELF.Binary) -> list[str]:
    """Without a C library of the machine's every Linux will do, with one those that are at least as new."""
    arch = {
        lief.ELF.ARCH.X86_64: "x86_64",
        lief.ELF.ARCH.AARCH64: "aarch64",
    }[program.header.machine_type]
    if not program.has_interpreter and not program.libraries:
        # The oldest of each that today's installers know.
        return [f"manylinux2014_{arch}", f"manylinux_2_17_{arch}", f"musllinux_1_1_{arch}"]
    asked = [
        str(symbol.name).removeprefix("GLIBC_")
        for library in program.symbols_version_requirement
        for symbol in library.get_auxiliary_symbols()
        if str(symbol.name).startswith("GLIBC_")
    ]
    major, minor = max(tuple(map(int, version.split(".")[:2])) for version in asked)
    return [f"manylinux_{major}_{minor}_{arch}"]


def mac_tags(program: lief.MachO.Binary) -> list[str]:
    """The oldest system that the linker has written down; from macOS 11 on only the first number counts."""
    arch = {
        lief.MachO.Header.CPU_TYPE.X86_64: "x86_64",
        lief.MachO.Header.CPU_TYPE.ARM64: "arm64",
    }[program.header.cpu_type]
    if program.build_version is not None:
        major, minor = program.build_version.minos[:2]
    elif program.version_min is not None:
        major, minor = program.version_min.version[:2]
    else:
        raise SystemExit("the program does not say which macOS it needs")
    return [f"macosx_{major}_{0 if major > 10 else minor}_{arch}"]


def windows_tags(program: lief.PE.Binary) -> list[str]:
    return [
        {
            lief.PE.Header.MACHINE_TYPES.AMD64: "win_amd64",
            lief.PE.Header.MACHINE_TYPES.ARM64: "win_arm64",
        }[program.header.machine]
    ]


def platform_tags(path: Path) -> list[str]:
    """On which systems a program runs, in the words of wheels."""
    program = lief.parse(path)
    if isinstance(program, lief.ELF.Binary):
        return linux_tags(program)
    if isinstance(program, lief.MachO.Binary):
        return mac_tags(program)
    if isinstance(program, lief.PE.Binary):
        return windows_tags(program)
    raise SystemExit(f"{path} is no program that a wheel can hold")


def metadata(version: str, licences: list[str], readme: str) -> str:
    head = [
        "Metadata-Version: 2.4",
        f"Name: {NAME}",
        f"Version: {version}",
        f"Summary: {SUMMARY}",
        "License-Expression: MIT",
        *(f"License-File: {name}" for name in licences),
        "Requires-Python: >=3.8",
        "Description-Content-Type: text/markdown",
    ]
    return "\n".join(head) + "\n\n" + readme


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--tree", type=Path, required=True, help="folders bin and share, as .ci/package lays them out")
    asked.add_argument("--version", required=True)
    asked.add_argument("--to", type=Path, required=True)
    args = asked.parse_args()
    doc = args.tree / "share/doc/springline"
    (program,) = (args.tree / "bin").iterdir()
    tags = platform_tags(program)
    with tempfile.TemporaryDirectory() as work:
        inside = Path(work)
        data, info = inside / f"{NAME}-{args.version}.data", inside / f"{NAME}-{args.version}.dist-info"
        shutil.copytree(args.tree / "bin", data / "scripts")
        # Manual pages and completions go where the environment has them; the documents stay with the other packages.
        shutil.copytree(args.tree / "share", data / "data/share", ignore=shutil.ignore_patterns("doc"))
        licences = ["LICENSE", "THIRD-PARTY-NOTICES.txt", "RUST-LIBRARY-NOTICES.html"]
        (info / "licenses").mkdir(parents=True)
        for name in licences:
            shutil.copy(doc / name, info / "licenses" / name)
        (info / "METADATA").write_text(metadata(args.version, licences, (doc / "README.md").read_text()))
        about = ["Wheel-Version: 1.0", f"Generator: {NAME} .ci/wheel.py", "Root-Is-Purelib: false"]
        about += [f"Tag: py3-none-{tag}" for tag in tags]
        (info / "WHEEL").write_text("\n".join(about) + "\n")
        command = [sys.executable, "-m", "wheel", "pack", work, "--dest-dir", args.to]
        subprocess.run(command, check=True)


if __name__ == "__main__":
    main()
