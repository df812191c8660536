"""What `tools/mutation.py` changes, what lies beside the tests of its copy, and why a change went unnoticed."""
