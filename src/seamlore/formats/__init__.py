"""A quilt in open formats: LIDO, Dublin Core, schema.org, IIIF, CSV, DXF; plain records in, bytes out."""
