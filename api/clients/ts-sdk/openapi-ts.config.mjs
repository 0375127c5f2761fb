// Functions and types, with the extensions that Node wants in imports.
export default {
  output: { path: "sdk", module: { extension: ".js" } },
  plugins: ["@hey-api/client-fetch", "@hey-api/typescript", "@hey-api/sdk"],
};
