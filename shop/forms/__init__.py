"""Forms: what people type, read into domain types, with the error beside its field."""
