using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;
using CaliperStation.Running;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>What <c>caliper check</c> was asked for; nulls for what the settings say.</summary>
internal sealed record CaliperCheckOptions(
    string? Port, string? Serial, string? Format, ulong Seed, string? Range, string? Blocks, string? Permissible, bool Json, string? Store);

/// <summary>Tries a caliper on closed jaws and gauge blocks and keeps what was found.</summary>
internal static class CaliperCheckCommand
{
    /// <summary>Returns 0 when every point is within the permissible error, 1 when one is not, 130 when it was stopped.</summary>
    internal static async Task<int> RunAsync(CaliperCheckOptions options, TextReader input, TextWriter output, TextWriter error, CancellationToken stop)
    {
        TimeProvider clock = TimeProvider.System;
        StorePaths paths = StorePaths.OnThisMachine(options.Store);
        Settings settings = Settings.Load(paths.Settings);
        CheckSettings check = Asked(options, settings.Check);
        if (CaliperCheck.Complaint(check.Range, check.Permissible, check.Blocks) is { } complaint)
        {
            throw new StationException(ExitCode.Usage, $"This is no check: {complaint}.");
        }

        string? shortfall = CaliperCheck.Shortfall(check.Range, check.Blocks);
        if (shortfall is not null)
        {
            await error.WriteLineAsync($"This is less than published procedures ask: {shortfall}.").ConfigureAwait(false);
        }

        using Store store = OpenStore.ForWork(paths, clock, error);
        CaliperChoice caliper = CaliperChoice.ForCheck(
            new CaliperWish(options.Port ?? settings.Port, options.Serial, options.Format, options.Seed, settings.Unit ?? LengthUnit.Millimetre),
            settings, step => check.Blocks[int.Parse(step, System.Globalization.CultureInfo.InvariantCulture)], clock);
        if (caliper.Remark is { } remark)
        {
            await error.WriteLineAsync(PrintableText.Escape(remark)).ConfigureAwait(false);
        }

        LineReader lines = new(input, settings.PressText);
        CheckFace face = new(output, options.Json);
        if (await new CheckBench(check, caliper.Start(error, lines.Press, stop), lines, face).RunAsync(stop).ConfigureAwait(false) is not { } done)
        {
            await error.WriteLineAsync("Stopped; nothing of this check is kept.").ConfigureAwait(false);
            return ExitCode.Interrupted;
        }

        CheckJournal.Keep(store, done, caliper.PortName, SittingSession.Now(clock));
        face.Done(done, caliper.PortName, shortfall);
        return done.IsWithin ? ExitCode.Good : ExitCode.NotWithin;
    }

    private static CheckSettings Asked(CaliperCheckOptions options, CheckSettings settings) => settings with
    {
        Range = options.Range is { } range ? LengthOf("--range", range) : settings.Range,
        Permissible = options.Permissible is { } permissible ? LengthOf("--permissible", permissible) : settings.Permissible,
        Blocks = options.Blocks is { } blocks ? [.. blocks.Split(',').Select(block => LengthOf("--blocks", block.Trim()))] : settings.Blocks,
    };

    private static Length LengthOf(string option, string text)
    {
        LengthParse parse = LengthText.Parse(text, LengthUnit.Millimetre);
        return parse.IsLength
            ? parse.Value.Value
            : throw new StationException(ExitCode.Usage, $"{option}: \"{PrintableText.Escape(text)}\" at character {parse.Fault.Position + 1}: {parse.Fault.Message}");
    }
}
