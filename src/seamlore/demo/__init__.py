"""The demo study: an invented worn quilt, its photograph, what its owner knows of it, and what is really so."""
