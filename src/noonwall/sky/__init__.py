"""Sun and sky over the site: course, light at fine steps, light on a plane, ground."""
