"""donorbench's Django side: records, use cases, screens and documents. The engine is the package quoting."""
