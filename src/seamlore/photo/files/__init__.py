"""Pictures as files: decoded in a process of their own, encoded again, stripped of what the camera wrote."""
