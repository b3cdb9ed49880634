"""The typed model: what a project file may say, as frozen types. Field names are the keys of the file."""
