/** @type {import("@sveltejs/vite-plugin-svelte").SvelteConfig} */
export default {
  compilerOptions: {
    runes: true,
    // Names of scoped styles from the file's content and place, so that a build is the same everywhere.
    cssHash: ({ hash, name, css }) => `b-${hash(name + css)}`,
  },
};
