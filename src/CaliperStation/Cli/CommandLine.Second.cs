using System.CommandLine;
using CaliperStation.Core.Records;

namespace CaliperStation.Cli;

/// <summary>The commands that measure again, and the one that tells who is ready.</summary>
internal static partial class CommandLine
{
    private static Command CountersignCommand(TextWriter output, TextWriter error)
    {
        Argument<string> record = new("RECORD") { Description = "The record, or a tag for the last sitting of that blouse." };
        Option<long?> seed = new("--seed") { Description = "Seed of the lot; without it one of chance. The record keeps it.", HelpName = "NUMBER" };
        Option<string?> share = Text("--share", "PERCENT", "How many of the steps that need no second look are drawn by lot, at least one; 20 unless said.");
        SecondCommon common = new();
        Command command = new("countersign", "A second hand measures some steps again without seeing the first values, and signs.") { record, seed, share };
        common.AddTo(command);
        command.SetAction((parsed, stop) => SecondMeasurement.RunAsync(
            common.Of(parsed, RecordKind.Countersign, parsed.GetValue(record)!) with { Seed = parsed.GetValue(seed), Share = parsed.GetValue(share) }, output, error, stop));
        return command;
    }

    private static Command RecheckCommand(TextWriter output, TextWriter error)
    {
        Argument<string> tag = new("TAG") { Description = "The blouse." };
        SecondCommon common = new();
        Command command = new("recheck", "After a touch-up: measures the steps that matter again and tells what has moved.") { tag };
        common.AddTo(command);
        command.SetAction((parsed, stop) => SecondMeasurement.RunAsync(common.Of(parsed, RecordKind.Recheck, parsed.GetValue(tag)!), output, error, stop));
        return command;
    }

    private static Command ReadinessCommandOf(TextWriter output, TextWriter error)
    {
        Argument<string?> file = new("FILE") { Description = "Tags, one a line, or CSV with a column called tag; without it every blouse the store knows.", Arity = ArgumentArity.ZeroOrOne };
        Option<bool> all = new("--all") { Description = "Every blouse the store knows; so it is without FILE." };
        Option<int?> older = new("--older-than") { Description = "A record older than so many days does not count as ready.", HelpName = "DAYS" };
        Option<bool> countersigned = new("--countersigned") { Description = "Only a countersigned blouse counts as ready." };
        Option<bool> csv = new("--csv") { Description = "The result as CSV." };
        Option<bool> json = Json();
        Option<string?> store = Store();
        Command command = new("readiness", "Tells which blouses are verified, countersigned, too old, open or set aside.") { file, all, older, countersigned, csv, json, store };
        command.Validators.Add(result =>
        {
            if (result.GetValue(all) && result.GetValue(file) is not null)
            {
                result.AddError("Say either FILE or --all.");
            }

            if (result.GetValue(csv) && result.GetValue(json))
            {
                result.AddError("Say either --csv or --json.");
            }

            if (result.GetValue(older) is < 0)
            {
                result.AddError("--older-than: days are not negative.");
            }
        });
        command.SetAction(parsed => ReadinessCommand.Run(
            new ReadinessOptions(
                parsed.GetValue(store), parsed.GetValue(file), parsed.GetValue(older), parsed.GetValue(countersigned), parsed.GetValue(csv), parsed.GetValue(json)),
            TimeProvider.System, output, error));
        return command;
    }

    /// <summary>The options both have.</summary>
    private sealed class SecondCommon
    {
        private readonly Option<string> _hand = new("--hand") { Description = "Who measures now.", HelpName = "INITIALS", Required = true };
        private readonly Option<string?> _port = Text("--port", "NAME|auto|emulated|none|replay:FILE", "Where the caliper is.");
        private readonly Option<string?> _serial = Text("--serial", "RATE-FRAMING", "Rate and framing of the line, such as 9600-8N1 or 4800-7E2.");
        private readonly Option<bool> _plain = new("--plain") { Description = "In lines; so it is anyway." };
        private readonly Option<bool> _json = new("--json") { Description = "One JSON object a line." };
        private readonly Option<string?> _store = Store();

        internal void AddTo(Command command)
        {
            foreach (Option option in (Option[])[_hand, _port, _serial, _plain, _json, _store])
            {
                command.Add(option);
            }
        }

        internal SecondOptions Of(ParseResult parsed, RecordKind kind, string target) => new()
        {
            Kind = kind,
            Target = target,
            Hand = parsed.GetValue(_hand)!,
            Port = parsed.GetValue(_port),
            Serial = parsed.GetValue(_serial),
            Plain = parsed.GetValue(_plain),
            Json = parsed.GetValue(_json),
            Store = parsed.GetValue(_store),
        };
    }
}
