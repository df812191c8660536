"""Decide: what the old quilt gives, the ways open side by side, stage by stage, and the choice that was made."""
