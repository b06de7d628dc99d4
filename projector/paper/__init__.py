"""What goes on paper and into files for others: PDF, SVG, DXF, chalk card, ticket."""
