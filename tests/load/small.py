"""PostgreSQL on disks as small as a test wants them: two file systems in memory, to be filled."""

from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path

from .databases import Postgres

TABLES_MIB, LOG_MIB = 192, 192


class Disk:
    """A small file system, filled by one file. To mount it one has to be root."""

    def __init__(self, where: Path, *, mib: int) -> None:
        self.where, self.ballast = where, where / "ballast"
        where.mkdir()
        words = ["mount", "-t", "tmpfs", "-o", f"size={mib}m", "tmpfs", str(where)]
        subprocess.run(words, check=True)

    def fill(self) -> None:
        room = shutil.disk_usage(self.where).free
        with self.ballast.open("wb") as file:
            os.posix_fallocate(file.fileno(), 0, room)

    def empty(self) -> None:
        self.ballast.unlink()

    def away(self) -> None:
        subprocess.run(["umount", "--lazy", str(self.where)], check=True)


class SmallPostgres(Postgres):
    """The tables on one small disk, the write-ahead log on another: each can be full by itself."""

    def _cluster_make(self) -> None:
        self.tables = Disk(self.folder / "tables", mib=TABLES_MIB)
        self.log = Disk(self.folder / "log", mib=LOG_MIB)
        self.data = self.tables.where / "data"
        for disk in (self.tables, self.log):
            if self.own:
                shutil.chown(disk.where, self.own["user"])
        self._initdb(f"--waldir={self.log.where / 'wal'}", "--wal-segsize=1")
        with (self.data / "postgresql.conf").open("a") as settings:
            # No segment is kept to be written again: a checkpoint leaves only the one in use.
            settings.write("wal_recycle = off\nmin_wal_size = 2MB\n")

    def stop(self) -> None:
        super().stop()
        self.tables.away()
        self.log.away()
