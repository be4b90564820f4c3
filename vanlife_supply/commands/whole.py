"""Files a person names: read as a whole, written as a whole or not at all."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from vanlife_supply.refusal import CANNOT_WRITE, Refusal


def read_bytes(name: str, most: int) -> bytes:
    """The bytes of the file, of the standard input for `-`; one more than `most` of a larger one."""
    if name == "-":
        return sys.stdin.buffer.read(most + 1)
    try:
        with Path(name).open("rb") as file:
            return file.read(most + 1)
    except FileNotFoundError:
        raise Refusal(f"There is no file {name}: check its name and folder.") from None
    except OSError as fault:
        raise Refusal(f"{name} cannot be read: {fault.strerror}.") from None
    except ValueError:
        raise Refusal("That is no name a file can have: check it.") from None


def read_text(name: str) -> str:
    """The text of the UTF-8 file of that name. Refusal when there is none."""
    try:
        return Path(name).read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        raise Refusal(f"There is no file {name}: check its name and folder.") from None
    except UnicodeDecodeError:
        raise Refusal(f"{name} is not text in UTF-8: save it as UTF-8.") from None
    except OSError as fault:
        raise Refusal(f"{name} cannot be read: {fault.strerror}.") from None


def give_out(name: str, data: bytes, ours: Callable[[bytes], bool], what: str) -> bool:
    """To the standard output for `-`, else as `write_bytes` does; whether a file was written."""
    if name == "-":
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        return False
    write_bytes(Path(name), data, ours, what)
    return True


def write_bytes(path: Path, data: bytes, ours: Callable[[bytes], bool], what: str) -> None:
    """The whole file or none of it; one that is there is written over only if its first 200 bytes are `ours`."""
    try:
        if path.exists() and not _starts(path, ours):
            raise Refusal(f"{path} is there already and is no {what}: name another file.")
        handle, name = tempfile.mkstemp(dir=path.absolute().parent, prefix=f".{path.name}-")
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            Path(name).chmod(0o644)
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise
    except OSError as fault:
        raise Refusal(f"{path} cannot be written: {fault.strerror}.", CANNOT_WRITE) from None
    except ValueError:
        raise Refusal("That is no name a file can have: check it.") from None


def _starts(path: Path, ours: Callable[[bytes], bool]) -> bool:
    with path.open("rb") as file:
        head = file.read(200).removeprefix(b"\xef\xbb\xbf")
    return not head or ours(head)
