using System.CommandLine;
using System.Text.Json;
using CaliperStation.Bench;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary>The sounds of the bench: as a table, and to hear.</summary>
internal static class SoundsCommand
{
    internal static Command Command(TextWriter output, TextWriter error)
    {
        Argument<string?> name = new("SOUND") { Description = "Only this one.", Arity = ArgumentArity.ZeroOrOne };
        Option<string?> wave = TextOption("--to", "FILE", "Writes the tones of SOUND as a sound file (WAVE) instead.");
        Option<bool> json = JsonOption();
        Command command = new("sounds", "Tells each sound of the bench; at a terminal it is heard, too.") { name, wave, json };
        command.SetAction((parsed, stop) => RunAsync(parsed.GetValue(name), parsed.GetValue(wave), parsed.GetValue(json), output, error, stop));
        return command;
    }

    private static async Task<int> RunAsync(string? name, string? to, bool json, TextWriter output, TextWriter error, CancellationToken stop)
    {
        SoundPattern[] asked = [.. Sounds.All.Where(pattern => name is null || NameOf(pattern) == name)];
        if (asked.Length == 0)
        {
            throw new StationException(ExitCode.Usage, $"There is no sound {PrintableText.Escape(name!)}; say one of: {string.Join(", ", Sounds.All.Select(NameOf))}.");
        }

        if (to is not null)
        {
            OwnFile.Replace(to, Sounds.Wave(asked is [var one] ? one.Tones : throw new StationException(ExitCode.Usage, "Say which sound, such as: sounds outside --to outside.wav")));
            return ExitCode.Good;
        }

        if (json)
        {
            foreach (SoundPattern pattern in asked)
            {
                await output.WriteLineAsync(JsonOf(pattern)).ConfigureAwait(false);
            }

            return ExitCode.Good;
        }

        Settings settings = Settings.Load(StorePaths.OnThisMachine(null).Settings);
        bool isHeard = !Console.IsOutputRedirected;
        await using OutsideCommand? play = isHeard && settings.Play is { } words ? new(words, why => error.WriteLine(PrintableText.Escape(why)), TimeProvider.System, OutsideCommand.LongestTone) : null;
        foreach (SoundPattern pattern in asked)
        {
            await output.WriteLineAsync($"{NameOf(pattern),-12}{BellOf(pattern),-14}{TonesOf(pattern),-46}{pattern.Means}").ConfigureAwait(false);
            await output.FlushAsync(stop).ConfigureAwait(false);
            if (isHeard)
            {
                play?.Give(Sounds.Wave(pattern.Tones));
                await RingAsync(pattern, output, stop).ConfigureAwait(false);
            }
        }

        return ExitCode.Good;
    }

    /// <summary>The pattern by the terminal's bell, with the pauses of the screen.</summary>
    private static async Task RingAsync(SoundPattern pattern, TextWriter output, CancellationToken stop)
    {
        foreach (TimeSpan pause in Screen.BellRinger.Pauses(pattern.Bell))
        {
            await output.WriteAsync('\a').ConfigureAwait(false);
            await output.FlushAsync(stop).ConfigureAwait(false);
            await Task.Delay(pause, stop).ConfigureAwait(false);
        }
    }

    /// <summary>The name of a sound as the table and the documents have it: <c>hold-still</c>.</summary>
    internal static string NameOf(SoundPattern pattern) => JsonNamingPolicy.KebabCaseLower.ConvertName(pattern.Sound.ToString());

    /// <summary>Strokes and pauses: <c>** *</c>.</summary>
    internal static string BellOf(SoundPattern pattern) => string.Join(' ', pattern.Bell.Select(strokes => new string('*', strokes)));

    /// <summary>Pitches and lengths: <c>440 Hz 180 ms, 330 Hz 340 ms</c>.</summary>
    internal static string TonesOf(SoundPattern pattern) =>
        string.Join(", ", pattern.Tones.GroupBy(tone => tone).Count() == 1 && pattern.Tones.Count > 1
            ? [FormattableString.Invariant($"{pattern.Tones.Count} × {pattern.Tones[0].Hertz} Hz {pattern.Tones[0].Milliseconds} ms")]
            : pattern.Tones.Select(tone => FormattableString.Invariant($"{tone.Hertz} Hz {tone.Milliseconds} ms")));

    private static string JsonOf(SoundPattern pattern) => JsonText.Object(json =>
    {
        json.WriteString("sound", NameOf(pattern));
        json.WriteString("means", pattern.Means);
        json.WriteStartArray("bell");
        foreach (int strokes in pattern.Bell)
        {
            json.WriteNumberValue(strokes);
        }

        json.WriteEndArray();
        json.WriteStartArray("tones");
        foreach (Tone tone in pattern.Tones)
        {
            json.WriteStartObject();
            json.WriteNumber("hertz", tone.Hertz);
            json.WriteNumber("milliseconds", tone.Milliseconds);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    });
}
