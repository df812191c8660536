"""What can be saved of an old quilt: what it gives, what could be made of it, the ways open, stage by stage."""
