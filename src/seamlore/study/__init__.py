"""What is known of one old quilt: measurements and their adjustment, from as found to as drafted, the record."""
