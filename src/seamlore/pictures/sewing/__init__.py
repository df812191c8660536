"""What one step of sewing joins and what comes of it, how a top is joined, and foundations to sew on."""
