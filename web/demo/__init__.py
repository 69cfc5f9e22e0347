"""The invented club that `make demo` shows. Nothing here is made anywhere else."""

from .load import DEMO_PASSWORD, Demo, demo_load

__all__ = ["DEMO_PASSWORD", "Demo", "demo_load"]
