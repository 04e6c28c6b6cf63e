// @11ty/eleventy 3 ships no type declarations; these are the few parts that are used here.
declare module '@11ty/eleventy' {
  import type { Environment } from 'nunjucks';

  export interface RenderedTemplate {
    readonly url: string;
    readonly inputPath: string;
    readonly outputPath: string;
    readonly content: string;
  }

  export interface EleventyConfig {
    readonly ignores: Set<string>;
    readonly benchmarkManager: {
      getAll(): Readonly<Record<string, { setIsVerbose(isVerbose: boolean): void }>>;
    };
    setUseGitIgnore(use: boolean): void;
    setQuietMode(quiet: boolean): void;
    setTemplateFormats(formats: readonly string[]): void;
    setNunjucksEnvironmentOptions(options: { readonly throwOnUndefined: boolean; readonly autoescape: boolean }): void;
    setLibrary(engine: 'njk', library: Environment): void;
    addGlobalData(name: string, supply: () => unknown): void;
    addNunjucksFilter(name: string, filter: (...given: never[]) => unknown): void;
    addTransform(
      name: string,
      transform: (this: { readonly page: { readonly url: string } }, content: unknown) => unknown,
    ): void;
    on(
      event: 'eleventy.after',
      listener: (report: { readonly directories: { readonly output: string } }) => void,
    ): void;
  }

  // eslint-disable-next-line no-restricted-syntax
  export default class Eleventy {
    constructor(
      input: string,
      output: string,
      options: {
        readonly quietMode: boolean;
        readonly source: 'script';
        readonly configPath: false;
        readonly config: (config: EleventyConfig) => void;
      },
    );
    disableLogger(): void;
    toJSON(): Promise<readonly RenderedTemplate[]>;
  }
}
