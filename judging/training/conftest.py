"""Modules that need PyTorch are left alone where it is not installed."""

from importlib.util import find_spec

collect_ignore = [] if find_spec("torch") else ["lessons.py", "networks.py", "seams.py", "subjects.py", "train.py"]
