"""The build guide: one page in building order."""
