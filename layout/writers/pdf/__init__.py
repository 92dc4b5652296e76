"""PDF: pages with content streams of our own. Only `writer` imports the PDF library."""
