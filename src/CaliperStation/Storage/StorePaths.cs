using System.Security.Cryptography;
using System.Text;
using CaliperStation.Files;

namespace CaliperStation.Storage;

/// <summary>Whose customs decide where files live.</summary>
internal enum Platform
{
    /// <summary>Linux and other Unix systems: the XDG Base Directory Specification 0.8.</summary>
    Unix,

    /// <summary>macOS: the Library folder of the home.</summary>
    Mac,

    /// <summary>Windows: the application data folders.</summary>
    Windows,
}

/// <summary>Where the store, the settings and the logs live.</summary>
/// <param name="Store">The store's folder.</param>
/// <param name="Settings">The settings file; it need not exist.</param>
/// <param name="Logs">The folder of the logs.</param>
internal sealed record StorePaths(string Store, string Settings, string Logs)
{
    private const string Home = "CALIPER_STATION_HOME";

    /// <summary>The passphrase that locks the station's key, from <c>CALIPER_STATION_PASSPHRASE</c> or the file that <c>CALIPER_STATION_PASSPHRASE_FILE</c> names; null for none.</summary>
    /// <exception cref="StoreException">The file cannot be read.</exception>
    public Func<string?> Passphrase { get; init; } = () => null;

    /// <summary>Where this store's head is kept, outside the store itself; null where the machine names no place.</summary>
    public string? Head { get; init; }

    /// <summary>The journal's folder.</summary>
    public string Journal => Path.Combine(Store, "journal");

    /// <summary>The folder of the station's keys.</summary>
    public string Keys => Path.Combine(Store, "keys");

    /// <summary>The folder of the texts of standards.</summary>
    public string Standards => Path.Combine(Store, "standards");

    /// <summary>The index; it can be deleted at any time when no bench is open.</summary>
    public string Index => Path.Combine(Store, "index.db");

    /// <summary>The index of whoever looks while a bench has the other one.</summary>
    public string IndexToLook => Path.Combine(Store, "index-look.db");

    /// <summary>The lock of the bench that writes.</summary>
    public string Lock => Path.Combine(Store, "lock");

    /// <summary>Lies there while a backup is put into the store: what is there then is half.</summary>
    public string Restoring => Path.Combine(Store, "restoring");

    /// <summary>Records that were checked and are coming in; left over by an import that was interrupted.</summary>
    public string Importing => Path.Combine(Store, "importing.jsonl");

    /// <summary>The station's private key.</summary>
    public string PrivateKey => Path.Combine(Keys, "station.pem");

    /// <summary>The keys whose signatures count.</summary>
    public string TrustedKeys => Path.Combine(Keys, "trusted.json");

    /// <summary>Refuses a store that may not be opened: half restored, or with a link, a pipe, a device or a folder in a file's place.</summary>
    /// <exception cref="StoreException">It may not.</exception>
    public void Validate()
    {
        foreach (string path in (string[])[Restoring, Importing, Index, IndexToLook, Lock, PrivateKey, TrustedKeys])
        {
            if (OwnFile.IsNoFile(path))
            {
                throw new StoreException(StoreFault.NoPlainFile, $"{path} is no plain file: a link, a pipe, a device or a folder lies in its place. Put the file itself there, or move that away.");
            }
        }

        if (File.Exists(Restoring))
        {
            throw new StoreException(StoreFault.HalfRestored, $"A backup was being restored into {Store}, and that was interrupted: what is there is half. Do it again: records restore FOLDER.");
        }
    }

    /// <summary>The places on this machine.</summary>
    /// <param name="store">What <c>--store</c> named, or null.</param>
    /// <exception cref="StoreException">The machine names no place.</exception>
    public static StorePaths OnThisMachine(string? store) => Find(
        store,
        Environment.GetEnvironmentVariable,
        OperatingSystem.IsWindows() ? Platform.Windows : OperatingSystem.IsMacOS() ? Platform.Mac : Platform.Unix,
        Environment.GetFolderPath(Environment.SpecialFolder.UserProfile));

    /// <summary>The places: <c>--store</c> over <c>CALIPER_STATION_HOME</c> over the platform's custom.</summary>
    /// <param name="store">What <c>--store</c> named, or null.</param>
    /// <param name="variable">Looks up an environment variable.</param>
    /// <param name="platform">Whose customs hold.</param>
    /// <param name="home">The person's home folder; may be empty.</param>
    /// <exception cref="StoreException">Nothing names a place.</exception>
    public static StorePaths Find(string? store, Func<string, string?> variable, Platform platform, string home)
    {
        StorePaths found = Find(store, variable, platform, home, out string? state);
        string? Passphrase() => NotEmpty(variable("CALIPER_STATION_PASSPHRASE"))
            ?? (NotEmpty(variable("CALIPER_STATION_PASSPHRASE_FILE")) is { } file ? NotEmpty(StationKey.ReadText(file).TrimEnd('\r', '\n')) : null);
        return found with { Passphrase = Passphrase, Head = state is null ? null : Path.Combine(state, "heads", Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(Path.TrimEndingDirectorySeparator(found.Store))))[..16] + ".head") };
    }

    private static StorePaths Find(string? store, Func<string, string?> variable, Platform platform, string home, out string? state)
    {
        string? XdgState() => NotEmpty(variable("XDG_STATE_HOME")) is { } named && Path.IsPathRooted(named) ? named : home.Length > 0 ? Path.Combine(home, ".local", "state") : null;
        string? applicationData = NotEmpty(variable("LOCALAPPDATA"));
        state = platform switch
        {
            Platform.Unix => XdgState() is { } folder ? Path.Combine(folder, "caliper-station") : null,
            Platform.Mac => home.Length > 0 ? Path.Combine(home, "Library", "Preferences", "CaliperStation") : null,
            _ => (applicationData ?? (home.Length > 0 ? Path.Combine(home, "AppData", "Local") : null)) is { } folder ? Path.Combine(folder, "CaliperStation", "state") : null,
        };
        string? own = store ?? NotEmpty(variable(Home));
        if (own is not null)
        {
            string folder = Path.GetFullPath(own);
            string settings = NotEmpty(variable(Home)) is { } place ? Path.GetFullPath(place) : folder;
            return new(folder, Path.Combine(settings, "settings.toml"), Path.Combine(folder, "logs"));
        }

        string Place(string name, params string[] fallback)
        {
            string? named = NotEmpty(variable(name));
            return named is not null && Path.IsPathRooted(named)   // the XDG specification says that a relative path is to be ignored
                ? named
                : home.Length > 0
                    ? Path.Combine([home, .. fallback])
                    : throw new StoreException(StoreFault.NoFolder, $"No folder for the store: neither a home folder nor {name} is set. Name one with --store or {Home}.");
        }

        switch (platform)
        {
            case Platform.Unix:
                return new(
                    Path.Combine(Place("XDG_DATA_HOME", ".local", "share"), "caliper-station"),
                    Path.Combine(Place("XDG_CONFIG_HOME", ".config"), "caliper-station", "settings.toml"),
                    Path.Combine(Place("XDG_STATE_HOME", ".local", "state"), "caliper-station"));
            case Platform.Mac:
                string support = Path.Combine(Place(Home, "Library", "Application Support"), "CaliperStation");
                return new(support, Path.Combine(support, "settings.toml"), Path.Combine(Place(Home, "Library", "Logs"), "CaliperStation"));
            case Platform.Windows:
                string local = Path.Combine(Place("LOCALAPPDATA", "AppData", "Local"), "CaliperStation");
                return new(
                    Path.Combine(local, "store"),
                    Path.Combine(Place("APPDATA", "AppData", "Roaming"), "CaliperStation", "settings.toml"),
                    Path.Combine(local, "logs"));
            default:
                throw new ArgumentOutOfRangeException(nameof(platform));
        }
    }

    /// <summary>Makes the store's folders, readable by their owner only; at the first use their names are made durable too.</summary>
    /// <param name="flush">Makes the names in a folder durable; null for the disk's own way.</param>
    /// <exception cref="StoreException">They cannot be made, or not be made durable, or others may write the folder of the key.</exception>
    public void Create(Action<string>? flush = null)
    {
        string named = Store;
        try
        {
            string own = Path.TrimEndingDirectorySeparator(Path.GetFullPath(Store));
            string? top = Path.GetDirectoryName(own);   // the folder that was there, in which the first name is new
            while (top is not null && !Directory.Exists(top))
            {
                top = Path.GetDirectoryName(top);
            }

            foreach (string folder in (string[])[Store, Journal, Keys])
            {
                named = folder;
                if (OperatingSystem.IsWindows())
                {
                    Directory.CreateDirectory(folder);
                }
                else
                {
                    Directory.CreateDirectory(folder, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
                }
            }

            if (!OperatingSystem.IsWindows() && (File.GetUnixFileMode(Keys) & (UnixFileMode.GroupWrite | UnixFileMode.OtherWrite)) != 0)
            {
                throw new StoreException(StoreFault.OthersMayReach, $"Others may write the folder of the station's key, {Keys}. If you trust that nobody did, mend it: chmod 700 '{Keys}'");
            }

            if (Directory.EnumerateFileSystemEntries(Journal).Any())
            {
                return;   // the journal's first flush came after this one
            }

            for (string? folder = own; folder is not null; folder = folder == top ? null : Path.GetDirectoryName(folder))
            {
                try
                {
                    (flush ?? OwnFile.FlushFolder)(folder);
                }
                catch (UnauthorizedAccessException) when (folder != own)
                {
                    break;   // a parent may let this account pass without letting it look, as many a folder of homes does
                }
            }
        }
        catch (Exception e) when (FileFault.Is(e))
        {
            throw new StoreException(StoreFault.NotMade, $"The store's folder {named} cannot be made: {e.Message} Choose another with --store.", e);
        }
    }

    private static string? NotEmpty(string? text) => string.IsNullOrEmpty(text) ? null : text;
}
