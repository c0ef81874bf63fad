"""MusicXML 4.0: reading lead sheets and writing parts."""
