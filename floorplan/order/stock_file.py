"""The stock file on disk: the one module below the command line that writes, and how it keeps the file whole.

A change reads, alters and writes under a lock that the system drops when a program ends, however it ends;
the lock stands in a file beside the stock, FILE.lock, which holds nothing and may be deleted when no
program runs. The new text goes to a temporary file, is forced to disk and then takes the old one's name,
so that a reader or a crash meets the old ledger or the new one, never a part.
"""

from __future__ import annotations

import os
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from ..errors import DataFileError, Fault, Place
from ..files.lock import take_lock
from ..files.text import read_text
from .stock import Stock
from .stock_csv import read_stock, write_stock

# How long another run may hold the file before this one gives up.
PATIENCE_S: Final = 10.0
_POLL_S: Final = 0.02


def load_stock(path: str | Path) -> Stock:
    """The ledger in a file.

    Raises:
        DataFileError: the file cannot be read, or has faults.
    """
    return read_stock(read_text(path, error=DataFileError), str(path))


def change_stock(path: str | Path, change: Callable[[Stock], Stock]) -> Stock:
    """The ledger after a change that is read, made and written while no other run can come between.

    Args:
        path: of an existing stock file.
        change: gives the new ledger from the one that is in the file now.

    Raises:
        DataFileError: what `change` raises, a file with faults, or another run that holds the file too long.
    """
    target = Path(path).resolve()
    # A name that is no stock file is refused before a lock is put beside it.
    load_stock(path)
    with _locked(target, str(path)):
        new = change(load_stock(path))
        _write(target, write_stock(new), str(path))
    return new


def new_stock(path: str | Path) -> None:
    """Write an empty ledger.

    Raises:
        DataFileError: there is a file of that name already, or the folder refuses.
    """
    target = Path(path).resolve()
    with _locked(target, str(path)):
        if target.exists():
            raise DataFileError(
                Fault(code="stock-there", text="the stock file is there already", place=Place(file=str(path)))
            )
        _write(target, write_stock(Stock()), str(path))


@contextmanager
def _locked(target: Path, name: str) -> Iterator[None]:
    try:
        handle = target.with_name(f"{target.name}.lock").open("a+b")
    except OSError as error:
        raise _refused(name, error) from error
    with handle:
        end = time.monotonic() + PATIENCE_S
        while not take_lock(handle):
            if time.monotonic() > end:
                raise DataFileError(
                    Fault(
                        code="stock-busy",
                        text="another run holds the stock file",
                        place=Place(file=name),
                        hint="wait until it has ended, then try again; nothing was changed",
                    )
                )
            time.sleep(_POLL_S)
        yield


def _write(target: Path, text: str, name: str) -> None:
    try:
        handle, temporary = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.", suffix=".part")
    except OSError as error:
        raise _refused(name, error) from error
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(text.encode("utf-8"))
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            Path(temporary).chmod(target.stat().st_mode & 0o777)
        else:
            Path(temporary).chmod(0o644)
        Path(temporary).replace(target)
        _sync_folder(target.parent)
    except OSError as error:
        raise _refused(name, error) from error
    finally:
        with suppress(OSError):
            Path(temporary).unlink(missing_ok=True)


def _sync_folder(folder: Path) -> None:
    """Force the new name to disk as well, where the system can."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _refused(name: str, error: OSError) -> DataFileError:
    text = f"the stock file cannot be written: {(error.strerror or str(error)).lower()}"
    return DataFileError(
        Fault(code="stock-unwritable", text=text, place=Place(file=name), hint="nothing was changed")
    )
