"""True-scale layout drawings of bicycle frames from one YAML description."""

from __future__ import annotations

__version__ = "0.1.0"
