using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Studies;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;

namespace CaliperStation.Cli;

/// <summary>What <c>caliper check</c> was asked for; nulls for what the settings say.</summary>
internal sealed record CaliperCheckOptions(
    string? Port, string? Serial, string? Format, ulong Seed, string? Range, string? Blocks, string? Permissible, bool Plain, bool Json, string? Store);

/// <summary>Tries a caliper on closed jaws and gauge blocks and keeps what was found.</summary>
internal static class CaliperCheckCommand
{
    /// <summary>Returns 0 when every point is within the permissible error, 1 when one is not, 130 when it was stopped.</summary>
    internal static async Task<int> RunAsync(CaliperCheckOptions options, TextWriter output, TextWriter error, CancellationToken stop)
    {
        TimeProvider clock = TimeProvider.System;
        StorePaths paths = StorePaths.OnThisMachine(options.Store);
        Settings settings = Settings.Load(paths.Settings);
        CheckSettings check = Asked(options, settings.Check);
        if (CaliperCheck.Complaint(check.Range, check.Permissible, check.Blocks) is { } complaint)
        {
            throw new StationException(ExitCode.Usage, $"This is no check: {complaint}.");
        }

        string? shortfall = CaliperCheck.Shortfall(check.Range, check.Blocks) is { } less ? $"This is less than published procedures ask: {less}." : null;

        using Store store = OpenStore.ForWork(paths, clock, error);
        CaliperChoice caliper = CaliperChoice.ForCheck(
            new PortRequest(options.Port ?? settings.Port, options.Serial, options.Format, options.Seed, settings.Unit ?? LengthUnit.Millimetre, false),
            settings, step => check.Blocks[int.Parse(step["point-".Length..], System.Globalization.CultureInfo.InvariantCulture) - 1], clock);
        BenchSetup setup = new() { Port = caliper.PortName, Remarks = [.. new[] { shortfall, caliper.Remark }.OfType<string>()] };
        Work work = Work.Checking.Begin(check.Range, check.Permissible, check.Blocks, Instants.Now(clock));
        int result = await new OpenBench(work, setup, caliper, null, null).RunAsync(options.Plain, options.Json, store, settings, output, error, stop).ConfigureAwait(false);
        if (result == ExitCode.Interrupted)
        {
            await error.WriteLineAsync("Stopped; nothing of this check is kept.").ConfigureAwait(false);
        }

        return result;
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
