"""What a builder describes, as plain validated records; the project file in and out."""
