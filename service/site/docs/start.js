// Everything is loaded from where the page came from; paths are relative, so
// that the page also works behind a proxy that adds a prefix.
window.ui = SwaggerUIBundle({
  url: "openapi.json",
  dom_id: "#contract",
  deepLinking: true,
  tryItOutEnabled: true,
  displayRequestDuration: true,
  defaultModelsExpandDepth: 0,
  validatorUrl: null,
});
