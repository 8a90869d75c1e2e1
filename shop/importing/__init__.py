"""Components as a table: read, looked over, written out."""
