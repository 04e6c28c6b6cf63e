// @ts-check
import tseslint from 'typescript-eslint';

export default tseslint.config(
  { ignores: ['dist/**', 'node_modules/**', '**/dossier/**', '.*.mjs', '.*.ts', 'shared/**'] },
  ...tseslint.configs.strictTypeChecked,
  {
    languageOptions: {
      parserOptions: { project: './tsconfig.json', tsconfigRootDir: import.meta.dirname },
    },
    rules: {
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/switch-exhaustiveness-check': ['error', { considerDefaultExhaustiveForUnions: true }],
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true, allowBoolean: true }],
      '@typescript-eslint/consistent-type-imports': 'error',
      'no-console': 'error',
      'no-restricted-syntax': [
        'error',
        { selector: 'ExportDefaultDeclaration', message: 'Export by name.' },
        {
          selector: "CallExpression[callee.object.name='Math'][callee.property.name='random']",
          message: 'Output must be reproducible.',
        },
        { selector: "NewExpression[callee.name='Date']", message: 'Output must be reproducible: no clock.' },
      ],
    },
  },
  {
    // A library wants a default export, or the file is plain JavaScript that Node runs as it is.
    files: ['.eleventy.js', 'src/launch.mjs'],
    rules: { 'no-restricted-syntax': 'off' },
  },
  {
    files: ['tests/**', 'sample-input/**'],
    rules: { '@typescript-eslint/no-non-null-assertion': 'off', 'no-console': 'off' },
  },
);
