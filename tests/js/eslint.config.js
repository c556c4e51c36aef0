// Rules for the page's modules: whatever is defined is used, nothing is compared loosely, no variable is re-used by `var`.
export default [
  {
    files: ["**/*.js"],
    languageOptions: { ecmaVersion: 2022, sourceType: "module" },
    rules: {
      "no-unused-vars": "error", eqeqeq: "error", "no-var": "error", "prefer-const": "error",
      "no-shadow-restricted-names": "error", "no-unreachable": "error", "no-dupe-keys": "error",
      "no-implied-eval": "error", "no-eval": "error", "max-lines-per-function": ["error", 60],
    },
  },
];
