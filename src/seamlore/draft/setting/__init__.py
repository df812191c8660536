"""How blocks lie in a quilt, and every bit between and round them: one module for each way of setting."""
