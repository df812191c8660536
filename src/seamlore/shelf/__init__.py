"""The collection on disk: studies as named, versioned sections that this room does not look into."""
