"""A page of the server that is made from a template of our own."""

from jupyter_server.base.handlers import JupyterHandler


class OwnPage(JupyterHandler):
    """What the page of contents, the docs and the pages of a class have in common."""

    def show(self, name, **values):
        """Answer with a template, made anew each time.

        Parameters: its name and what it shows; the address of the contents and what a form needs
        come by themselves.
        """
        self.set_header("Cache-Control", "no-store")
        template = self.settings["voila_jinja2_env"].get_template(name)
        self.finish(template.render(base_url=self.base_url, xsrf=self.xsrf_form_html, **values))
