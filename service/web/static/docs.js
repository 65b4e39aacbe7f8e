// Shows the API document of this service. Nothing is fetched from anywhere else: no validator badge, no fonts.
window.addEventListener("DOMContentLoaded", () => {
  window.SwaggerUIBundle({
    url: "openapi.json",
    dom_id: "#api",
    deepLinking: true,
    defaultModelsExpandDepth: 0,
    validatorUrl: null,
  });
});
