using System.CommandLine;
using System.Globalization;
using System.Security.Cryptography;
using CaliperStation.Bench;
using CaliperStation.Core.Bench;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CaliperStation.Devices;
using CaliperStation.Files;
using CaliperStation.Storage;
using static CaliperStation.Cli.CommandLine;

namespace CaliperStation.Cli;

/// <summary>The commands that measure again: <c>countersign</c> and <c>recheck</c>.</summary>
internal static class RemeasureCommands
{
    internal static Command Countersign(TextWriter output, TextWriter error)
    {
        Argument<string> record = TagArgument("RECORD", "The record, or a tag for the last sitting of that blouse.");
        Option<long?> seed = new("--seed") { Description = "Seed of the lot; without it one of chance. The record keeps it.", HelpName = "NUMBER" };
        Option<string?> share = TextOption("--share", "PERCENT", "How many of the steps that need no second look are drawn by lot, at least one; 20 unless said.");
        BenchOptions bench = new();
        Command command = new("countersign", "A second hand measures some steps again without seeing the first values, and signs.") { record, seed, share };
        bench.AddTo(command);
        command.SetAction((parsed, stop) => Remeasurement.RunAsync(
            new(RecordKind.Countersign, parsed.GetValue(record)!, bench.Of(parsed), parsed.GetValue(seed), parsed.GetValue(share)), output, error, stop));
        return command;
    }

    internal static Command Recheck(TextWriter output, TextWriter error)
    {
        Argument<string> tag = TagArgument("TAG", "The blouse.");
        BenchOptions bench = new();
        Command command = new("recheck", "After a touch-up: measures the steps that matter again and says what has moved.") { tag };
        bench.AddTo(command);
        command.SetAction((parsed, stop) => Remeasurement.RunAsync(new(RecordKind.Recheck, parsed.GetValue(tag)!, bench.Of(parsed)), output, error, stop));
        return command;
    }
}

/// <summary><c>countersign RECORD</c> and <c>recheck TAG</c>: some steps of a record measured again, blind, into a record of their own.</summary>
internal static class Remeasurement
{
    internal static async Task<int> RunAsync(RemeasureOptions options, TextWriter output, TextWriter error, CancellationToken stop)
    {
        TimeProvider clock = TimeProvider.System;
        if (Initials.Validate(options.Bench.Hand) is { } fault)
        {
            throw new StationException(ExitCode.Usage, $"--hand: {fault}.");
        }

        double share = Share(options.Share);
        StorePaths paths = StoreLook.Paths(options.Bench.Store);
        Settings settings = Settings.Load(paths.Settings);
        using Store store = OpenStore.ForWork(paths, clock, error);
        Record first = First(store, options);
        Plan plan = Plan.For(StandardOf(store, first), first.Answers);
        (Work.Remeasuring work, Resume? resume) = Session(options, share, first, plan, store, clock);
        CaliperChoice caliper = CaliperChoice.Of(
            new PortRequest(options.Bench.Port ?? settings.Port, options.Bench.Serial, null, 1, settings.Unit ?? plan.Standard.Unit, first.IsPractice), settings, plan, clock);
        BenchSetup setup = new() { KeyboardUnit = settings.Unit, Resume = resume, Remarks = [.. new[] { caliper.Remark }.OfType<string>()] };
        int result = await new OpenBench(work, setup, caliper, first, null).RunAsync(options.Bench.Plain, options.Bench.Json, store, settings, output, error, stop).ConfigureAwait(false);
        if (result == ExitCode.Interrupted)
        {
            await error.WriteLineAsync($"Stopped; every reading is kept. To go on: caliper-station {RecordWords.Of(options.Kind)} {PrintableText.Escape(options.Target)} --hand {work.Remeasurement.Started.Hand}").ConfigureAwait(false);
        }

        return result;
    }

    /// <summary>A percentage such as <c>20</c> or <c>20%</c>, or a fraction below 1 such as <c>0.2</c>.</summary>
    private static double Share(string? text)
    {
        if (text is null)
        {
            return StepChoice.DefaultShare;
        }

        bool percent = text.EndsWith('%');
        return double.TryParse(text.TrimEnd('%'), NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out double number) && number is >= 0 and <= 100
            ? percent || number >= 1 ? number / 100 : number
            : throw new StationException(ExitCode.Usage, "--share: write a percentage such as 20 or 20%, or a fraction below 1 such as 0.2.");
    }

    /// <summary>The record that is looked back at: whole, signed, and a sitting.</summary>
    private static Record First(Store store, RemeasureOptions options)
    {
        FiledRecord? found = options.Kind == RecordKind.Countersign ? store.Records.Find(options.Target) : null;
        found ??= Past(store, options.Target).LastOrDefault();
        string shown = PrintableText.Escape(options.Target);
        if (found?.Sealed?.Record is not { } record)
        {
            throw new StationException(ExitCode.Usage, options.Kind == RecordKind.Countersign
                ? $"There is no record \"{shown}\" and no sitting of such a tag in {store.Paths.Store}; \"records list\" shows what there is."
                : $"There is no sitting of a blouse \"{shown}\" in {store.Paths.Store}; \"records list\" shows what there is.");
        }

        if (record.Kind != RecordKind.Sitting)
        {
            throw new StationException(ExitCode.Usage, $"{shown} is a {RecordWords.Of(record.Kind)}; name the record of the sitting: {PrintableText.Escape(record.OfRecord ?? "")}.");
        }

        if (RecordChain.VerifyOne(found, store.Known.All).ToList() is { Count: > 0 } findings)
        {
            throw new StationException(ExitCode.Store, string.Join('\n', findings.Select(finding => $"{finding.Where}: {finding.Words}.")));
        }

        return options.Kind == RecordKind.Countersign && InitialsComparer.TookPart(record, options.Bench.Hand)
            ? throw new StationException(ExitCode.Usage, $"{options.Bench.Hand} measured or signed {PrintableText.Escape(record.Id)}: another hand must countersign it.")
            : record;
    }

    /// <summary>The sittings of a blouse in the order of time.</summary>
    private static IEnumerable<FiledRecord> Past(Store store, string tag) => store.Records.Wanted(new RecordFilter(tag))
        .Where(filed => filed.Sealed!.Record!.Kind == RecordKind.Sitting)
        .OrderBy(filed => filed.Sealed!.Record!.Closed);

    private static Standard StandardOf(Store store, Record first) => StoreLook.StandardOf(store, first)
        ?? throw new StationException(ExitCode.BadFile, $"The text of {PrintableText.Escape(first.Standard.Name)}, {PrintableText.Escape(first.Standard.Edition)}, by which {PrintableText.Escape(first.Id)} was judged is not in this store; measure with it at the bench that has it.");

    /// <summary>The open one of this record and hand goes on, with the steps it was begun with; else a new one begins.</summary>
    private static (Work.Remeasuring Work, Resume? Resume) Session(RemeasureOptions options, double share, Record first, Plan plan, Store store, TimeProvider clock)
    {
        if (Sittings.ResumeRemeasurement(store, plan, first, options.Kind, options.Bench.Hand) is { } open)
        {
            return (open.Work, Sittings.Found(open.Work, open.Last, false, clock));
        }

        long? seed = options.Kind == RecordKind.Countersign ? options.Seed ?? RandomNumberGenerator.GetInt32(int.MaxValue) : null;
        IReadOnlyList<ChosenStep> steps = seed is { } lot
            ? StepChoice.ForCountersign(first, plan, share, lot)
            : StepChoice.ForRecheck(first, plan, [.. Past(store, first.Tag).Select(filed => filed.Sealed!.Record!).Where(past => past.Standard.Sha256 == first.Standard.Sha256)]);
        if (steps.Count == 0)
        {
            throw new StationException(ExitCode.Usage, $"{PrintableText.Escape(first.Id)} has no step to measure again: nothing in it carries another item, was judged, or was measured before.");
        }

        DateTimeOffset now = Instants.Now(clock);
        return (Sittings.Begin(store, plan, new RemeasurementStarted(
            Sittings.NewId(now, first.Tag), options.Kind, first.Id, first.Tag, options.Bench.Hand, first.Standard.Sha256, first.Answers,
            seed, seed is null ? null : share, steps, now)), null);
    }
}

/// <summary>What was asked of a remeasurement, parsed but not yet looked at.</summary>
/// <param name="Kind">Countersign or recheck.</param>
/// <param name="Target">A record's id, or a tag for the last sitting of that blouse.</param>
/// <param name="Bench">Who measures, and where.</param>
/// <param name="Seed">Seed of the lot; null for one of chance, which the record keeps.</param>
/// <param name="Share">The share by lot as written; null for the usual one.</param>
internal sealed record RemeasureOptions(RecordKind Kind, string Target, BenchRequest Bench, long? Seed = null, string? Share = null);
