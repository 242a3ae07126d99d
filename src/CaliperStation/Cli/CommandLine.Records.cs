using System.CommandLine;

namespace CaliperStation.Cli;

/// <summary>The <c>records</c> commands.</summary>
internal static partial class CommandLine
{
    private static Command RecordsCommand(TextWriter output, TextWriter error) => new("records", "Looks at, checks and takes out what was filed.")
    {
        ListCommand(output, error), ShowCommand(output, error), VerifyCommand(output, error), ExportCommand(output, error), ImportCommand(output, error),
        RotateKeyCommand(output, error),
        BackupCommand("backup", "Copies a consistent state of the store, also while the bench works; the copy is checked.", RecordsBackup.Make, output, error),
        BackupCommand("restore", "Makes a store from a backup, where there is none; it is checked.", RecordsBackup.Restore, output, error),
    };

    private static Command ListCommand(TextWriter output, TextWriter error)
    {
        FilterOptions filter = new();
        Option<bool> json = Json();
        Option<string?> store = Store();
        Option<bool> abandoned = new("--abandoned") { Description = "The sittings that were given up instead; of the filters only --tag holds for them." };
        Command command = new("list", "Lists records, the oldest first.") { json, abandoned, store };
        filter.AddTo(command);
        command.SetAction(parsed => RecordsList.Run(new RecordsListOptions(parsed.GetValue(store), filter.Of(parsed), parsed.GetValue(json), parsed.GetValue(abandoned)), TimeProvider.System, output, error));
        return command;
    }

    private static Command ShowCommand(TextWriter output, TextWriter error)
    {
        Argument<string> id = new("ID") { Description = "A record, or a tag for the last record of that blouse." };
        Option<bool> json = Json();
        Option<string?> store = Store();
        Command command = new("show", "Shows one record.") { id, json, store };
        command.SetAction(parsed => RecordsShow.Run(new RecordsShowOptions(parsed.GetValue(store), parsed.GetValue(id)!, parsed.GetValue(json)), TimeProvider.System, output, error));
        return command;
    }

    private static Command VerifyCommand(TextWriter output, TextWriter error)
    {
        Argument<string?> target = new("ID|FILE") { Description = "One record, or an exported file; without it the whole store.", Arity = ArgumentArity.ZeroOrOne };
        Option<string[]> key = new("--key") { Description = "A public key that counts for an exported file; may be repeated.", HelpName = "FILE", DefaultValueFactory = _ => [] };
        Option<bool> part = new("--part") { Description = "The file is a part of a chain: records missing from it are not told." };
        Option<bool> json = Json();
        Option<string?> store = Store();
        Command command = new("verify", "Finds any changed, missing or re-ordered byte and names it.") { target, key, part, json, store };
        command.SetAction(parsed => RecordsVerify.Run(
            new RecordsVerifyOptions(parsed.GetValue(store), parsed.GetValue(target), parsed.GetValue(key) ?? [], parsed.GetValue(part), parsed.GetValue(json)), output, error));
        return command;
    }

    private static Command ExportCommand(TextWriter output, TextWriter error)
    {
        FilterOptions filter = new();
        Option<bool> csv = new("--csv") { Description = "CSV, one take a line; else JSON Lines, one sealed record a line." };
        Option<bool> json = new("--json") { Description = "JSON Lines; so it is unless --csv is said." };
        Option<bool> withoutInitials = new("--without-initials") { Description = "Leaves the hands out; JSON Lines then carry no seal, for a signed record cannot be cut." };
        Option<string?> to = Text("--to", "FILE", "The file to write instead of standard output.");
        Option<string?> store = Store();
        Command command = new("export", "Takes records out.") { csv, json, withoutInitials, to, store };
        filter.AddTo(command);
        command.SetAction(parsed => RecordsExport.Run(
            new RecordsExportOptions(parsed.GetValue(store), filter.Of(parsed), parsed.GetValue(csv), parsed.GetValue(withoutInitials), parsed.GetValue(to)), TimeProvider.System, output, error));
        return command;
    }

    private static Command ImportCommand(TextWriter output, TextWriter error)
    {
        Argument<string> file = new("FILE") { Description = "What records export wrote as JSON Lines on another bench." };
        Option<string[]> key = new("--key") { Description = "A public key whose records may come in; may be repeated.", HelpName = "FILE", DefaultValueFactory = _ => [] };
        Option<string?> store = Store();
        Command command = new("import", "Brings another bench's records in, all or none; every signature is checked.") { file, key, store };
        command.SetAction(parsed => RecordsImport.Run(new RecordsImportOptions(parsed.GetValue(store), parsed.GetValue(file)!, parsed.GetValue(key) ?? []), output, error));
        return command;
    }

    private static Command RotateKeyCommand(TextWriter output, TextWriter error)
    {
        Option<string?> store = Store();
        Command command = new("rotate-key", "Retires the station's key and makes a new one; records signed before still verify.") { store };
        command.SetAction(parsed => RecordsRotateKey.Run(parsed.GetValue(store), output, error));
        return command;
    }

    private static Command BackupCommand(
        string name, string description, Func<RecordsBackupOptions, TextWriter, TextWriter, int> run, TextWriter output, TextWriter error)
    {
        Argument<string> folder = new("FOLDER") { Description = "The backup's folder." };
        Option<bool> json = Json();
        Option<string?> store = Store();
        Command command = new(name, description) { folder, json, store };
        command.SetAction(parsed => run(new RecordsBackupOptions(parsed.GetValue(store), parsed.GetValue(folder)!, parsed.GetValue(json)), output, error));
        return command;
    }

    /// <summary>The options that choose records.</summary>
    private sealed class FilterOptions
    {
        private readonly Option<string?> _tag = Text("--tag", "TAG", "Only this blouse.");
        private readonly Option<string?> _from = Text("--from", "DAY", "From this day or instant on, such as 2026-11-25.");
        private readonly Option<string?> _until = Text("--until", "DAY", "Up to this day, itself included.");
        private readonly Option<string?> _hand = Text("--hand", "INITIALS", "Only this hand.");
        private readonly Option<string?> _item = Text("--item", "ITEM", "Only records that read this item.");
        private readonly Option<string?> _verdict = Text("--verdict", "VERDICT", "Only records with such a verdict: within, borderline, outside.");

        internal void AddTo(Command command)
        {
            foreach (Option option in (Option[])[_tag, _from, _until, _hand, _item, _verdict])
            {
                command.Add(option);
            }
        }

        internal FilterWords Of(ParseResult parsed) => new(
            parsed.GetValue(_tag), parsed.GetValue(_from), parsed.GetValue(_until), parsed.GetValue(_hand), parsed.GetValue(_item), parsed.GetValue(_verdict));
    }
}
